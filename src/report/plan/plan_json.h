#pragma once

#include "base/json_text.h"
#include "report/plan/plan_report.h"

namespace drydepth {

/// The plan as "drydepth-plan/1". Rounded as the report is; ranges are {p10, p50, p90},
/// or one number when nominal; null where that share never gets there.
Json plan_json(const PlanReport& report);

}  // namespace drydepth
