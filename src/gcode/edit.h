#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace drydepth {

/// Lines to be put into a job as one block between two marker lines of our own.
struct Edit {
  std::uint64_t offset = 0;        ///< byte offset in the job without our own blocks
  std::uint64_t line = 0;          ///< 1-based line that starts there
  std::string action;              ///< note, message, pause, adjust
  std::vector<std::string> lines;  ///< ASCII, no line end, each shorter than 80 bytes
};

}  // namespace drydepth
