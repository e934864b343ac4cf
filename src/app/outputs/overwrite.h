#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "base/result.h"

namespace drydepth {

/// A file that an option has written.
struct Target {
  std::string option;  ///< "--sheet"
  std::filesystem::path file;
};

/// Error (exit 64) where one of the targets is a file that is read, or another target,
/// under whatever name: it would be overwritten without a word.
Result<Done> keep_apart(const std::vector<Target>& targets,
                        const std::vector<std::filesystem::path>& read);

}  // namespace drydepth
