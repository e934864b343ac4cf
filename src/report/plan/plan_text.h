#pragma once

#include <string>

#include "report/plan/plan_report.h"

namespace drydepth {

/// The plan on a terminal of 80 columns, times in the given zone.
std::string plan_text(const PlanReport& report, const LocalZone& zone);

}  // namespace drydepth
