#pragma once

#include <string>
#include <vector>

#include "report/report.h"

namespace drydepth {

/// What the estimate of a spool takes on trust because nobody measured it, one sentence
/// each, for the person who signs.
std::vector<std::string> unmeasured(const SpoolReport& spool);

}  // namespace drydepth
