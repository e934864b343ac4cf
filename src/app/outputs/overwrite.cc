#include "app/outputs/overwrite.h"

#include "base/exit_code.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

bool same_file(const fs::path& a, const fs::path& b) {
  std::error_code failed;
  if (fs::equivalent(a, b, failed)) return true;
  return fs::weakly_canonical(a, failed) == fs::weakly_canonical(b, failed);
}

}  // namespace

Result<Done> keep_apart(const std::vector<Target>& targets,
                        const std::vector<fs::path>& read) {
  for (std::size_t k = 0; k < targets.size(); ++k) {
    const auto& [option, file] = targets[k];
    for (const fs::path& source : read) {
      if (!same_file(file, source)) continue;
      return Error{option, "\"" + file.string() + "\" is what is read here",
                   "give the file another name", kExitUsage};
    }
    for (std::size_t other = 0; other < k; ++other) {
      // A document named twice is filled once.
      if (targets[other].option == option || !same_file(file, targets[other].file)) {
        continue;
      }
      return Error{option,
                   "\"" + file.string() + "\" is written by " + targets[other].option +
                       " already",
                   "give each its own file", kExitUsage};
    }
  }
  return Done{};
}

}  // namespace drydepth
