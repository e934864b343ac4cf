#pragma once

#include <cstdint>
#include <functional>

#include "base/files.h"
#include "base/result.h"

namespace drydepth {

/// Unpacks binary G-code (version 1) to text: the metadata as comments "; key = value"
/// in front, then the commands; thumbnails are left out. Checksums are checked. Error
/// (exit 65) names the block and its offset.
Result<Done> unpack_binary(const ByteSource& file, const ByteSink& out);

/// What of that text stands in front of the commands, and is none of them.
struct BinaryFront {
  std::uint64_t bytes = 0;
  std::uint64_t lines = 0;
};
/// Reads no further than to the first commands. Error as unpack_binary.
Result<BinaryFront> front_of_binary(const ByteSource& file);

/// Makes all of a job's text and hands it to the sink.
using TextMaker = std::function<Result<Done>(const ByteSink&)>;

/// The file with other commands: those of `text`, which begins with the same front.
/// Every other block stays byte for byte; the commands are neither compressed nor
/// encoded, in blocks of at most 64 kB that end with a line where one ends. Error as
/// unpack_binary, or text's own.
Result<Done> repack_binary(const ByteSource& file, const TextMaker& text,
                           const ByteSink& out);

}  // namespace drydepth
