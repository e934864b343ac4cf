#pragma once

#include "base/files.h"
#include "base/result.h"

namespace drydepth {

/// Unpacks binary G-code (version 1) to text: the metadata as comments "; key = value"
/// in front, then the commands; thumbnails are left out. Checksums are checked. Error
/// (exit 65) names the block and its offset.
Result<Done> unpack_binary(const ByteSource& file, const ByteSink& out);

}  // namespace drydepth
