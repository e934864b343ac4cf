#pragma once

#include <vector>

#include "base/files.h"
#include "base/result.h"
#include "gcode/edit/edit.h"

namespace drydepth {

/// Puts the edits (sorted by offset) into the job as blocks and sends the result to
/// out. Blocks already there are taken out first, so that doing it twice equals doing
/// it once. Every other byte passes unchanged; each inserted line ends as the line
/// before it does. Error (exit 65) if an own block was changed by others, or an edit's
/// offset is not the start of a line below the first.
Result<Done> rewrite(const ByteSource& job, const std::vector<Edit>& edits,
                     const ByteSink& out);

/// For an edit whose offset is not the start of a line below the first (exit 65).
Error misplaced(const std::string& job_name, const Edit& edit);

/// The job without our own blocks: byte for byte what it was before. Error as rewrite.
Result<Done> restore(const ByteSource& job, const ByteSink& out);

}  // namespace drydepth
