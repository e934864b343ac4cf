#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/action_words.h"
#include "cli/job_spools.h"
#include "gcode/container.h"
#include "sheet/report.h"

namespace drydepth {

/// A job as it was found, and what is to be said of it.
struct JobReport {
  OpenJob job{};
  Report report{};
  std::vector<std::filesystem::path> read{};  ///< the job and the records
};

/// What guard finds out about a job, with nothing written. Error for the first option,
/// record or job that is wrong.
Result<JobReport> report_job(const JobWords& words, const Actions& actions,
                             const std::string& job, const World& world);

/// Works out the courses of its spools, which only a page needs.
void add_courses(Report& report, const JobWords& words);

}  // namespace drydepth
