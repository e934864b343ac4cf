#pragma once

#include "cli/job_spools.h"
#include "sheet/report.h"

namespace drydepth {

/// What guard finds out about a job, with nothing written. Error for the first option,
/// record or job that is wrong.
Result<Report> report_job(const JobWords& words, const std::string& job,
                          const World& world);

/// Works out the courses of its spools, which only a page needs.
void add_courses(Report& report, const JobWords& words);

}  // namespace drydepth
