#pragma once

#include <cstddef>
#include <string>

#include "base/result.h"

namespace drydepth {

/// What was taken out of a job: blocks, and lines that are again as they were.
struct TakenOut {
  std::size_t blocks = 0, lines = 0;
};

/// Takes all of our edits out of a job, byte for byte. Error where somebody else
/// touched one of them; the job is as it was then.
Result<TakenOut> restore_job(const std::string& path);

}  // namespace drydepth
