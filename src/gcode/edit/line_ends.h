#pragma once

#include "base/files.h"
#include "gcode/edit/digest.h"

namespace drydepth {

enum class LineEnds { kLf, kCrLf };

/// The same job with every line end, LF or CR LF, spelled so.
ByteSource with_line_ends(ByteSource job, LineEnds ends);

/// True where a job of another digest is the same but for its line ends, as some hosts
/// and mail programs change them throughout. Reads the job up to two times. Error as
/// digest_job.
Result<bool> differs_in_line_ends_only(const ByteSource& job, const JobDigest& then);

}  // namespace drydepth
