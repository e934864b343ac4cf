#pragma once

#include <string>
#include <vector>

#include "app/job/job_spools.h"
#include "app/request/progress.h"
#include "report/plan/plan_report.h"

namespace drydepth {

/// Jobs that are to be got through one after another.
struct PlanRequest {
  std::vector<std::string> jobs;  ///< paths, in their order
  JobWords on{};
  /// As typed: drying ahead of the job ("80C"), the chance below which a way suffices,
  /// the time from the end of one job to the start of the next ("20min").
  std::string dry{}, chance = "10%", between{};
};

/// What it takes to get jobs through on the spools at hand. Error for the first option,
/// record or job that is wrong, and for a heater hotter than what polymer and body
/// stand, since no advice shall say so.
Result<PlanReport> plan_jobs(const PlanRequest& request, const Caller& caller,
                             const Progress& progress = {});

}  // namespace drydepth
