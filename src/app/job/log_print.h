#pragma once

#include <string>
#include <vector>

#include "app/request/settings.h"
#include "base/result.h"

namespace drydepth {

/// The words of "log print JOB", as typed.
struct PrintWords {
  SharedWords shared;
  std::vector<std::string> spools;  ///< [T0=]SPOOL, where a record has moved to
  std::string job, from, to, stopped_at;
};

/// Adds a print event to the record of each spool that the stamped job was checked
/// with; what was done, a line each. A record that counts this print already is left
/// alone; Error where all of them do, where the job is not the one that was checked,
/// and where an event cannot be: then no record has been changed.
Result<std::string> log_print(const PrintWords& words, const Caller& caller);

}  // namespace drydepth
