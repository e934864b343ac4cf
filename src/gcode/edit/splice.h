#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

#include "base/result.h"
#include "gcode/edit/edit.h"

namespace drydepth {

/// What rewrite() does, for a plain file that holds no blocks of ours and whose size is
/// known: the kernel copies what lies between the edits (sorted by offset). Error (exit
/// 65) where an edit is misplaced or the file has another size by now, else as
/// AtomicFile; the file is then as it was.
Result<Done> splice(const std::filesystem::path& job, const std::vector<Edit>& edits,
                    std::uint64_t bytes);

}  // namespace drydepth
