#pragma once

#include <string>

#include "report/report.h"

namespace drydepth {

/// The report of a job for a terminal of 80 columns: job, spools, a row a feed, what
/// was written, advice, cautions. Clock times in the given zone.
std::string report_text(const Report& report, const LocalZone& zone);

/// How the job was read: what was taken for what, from where, and what was guessed.
std::string explain_text(const Trace& job);

}  // namespace drydepth
