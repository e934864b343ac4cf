#pragma once

#include "cli/job_spools.h"
#include "sheet/report.h"

namespace drydepth {

/// What guard finds out about a job, with nothing written. Error for the first option,
/// record or job that is wrong.
Result<Report> report_job(const JobWords& words, const std::string& job,
                          const World& world);

/// The report as a page, with the courses of its spools worked out for it.
std::string sheet_of(Report report, const JobWords& words, const World& world);

}  // namespace drydepth
