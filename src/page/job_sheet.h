#pragma once

#include <string>

#include "report/report.h"

namespace drydepth {

/// The report of a job as a page to print, sign and hang beside the printer: what was
/// assumed, found, written and not measured, with the figures. Clock times in the given
/// zone. A spool that nothing is told of has no figures.
std::string job_sheet(const Report& report, const LocalZone& zone);

}  // namespace drydepth
