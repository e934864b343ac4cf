#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/job/job_spools.h"
#include "app/job/plan_actions.h"
#include "app/request/progress.h"
#include "gcode/container/container.h"
#include "report/report.h"

namespace drydepth {

/// A job to be checked against its spools.
struct CheckRequest {
  std::string job;  ///< path
  JobWords words{};
  Actions actions{};
};

/// A job as it was found, and what is to be said of it.
struct Checked {
  OpenJob job{};
  Report report{};
  std::vector<std::filesystem::path> read{};  ///< the job and the records
};

/// Scans the job, races it against each spool from each feed, judges, and plans what to
/// write; writes nothing. Error for the first option, record or job that is wrong.
Result<Checked> check_job(const CheckRequest& request, const Caller& caller,
                          const Progress& progress = {});

/// Works out the courses of its spools, which only a page needs.
void add_courses(Report& report, unsigned threads);

/// The gravest verdict of the feeds in use.
Verdict gravest(const Report& report);

/// Puts the planned edits, the note among them, into the job. Error as write_job; the
/// job is as it was then.
Result<Done> write_edits(const std::string& path, const Checked& checked,
                         BinaryWriting binary);

}  // namespace drydepth
