#pragma once

#include <string>
#include <vector>

#include "report/report.h"

namespace drydepth {

/// What a piece cut from outside would tell beside the next weighing, how much to cut
/// for the scale at hand (or what finer scale it takes), how to dry it and how to log
/// it. Empty where a weighing tells as much.
std::vector<std::string> piece_advice(const DryingReport& drying,
                                      const SpoolReport& spool);

}  // namespace drydepth
