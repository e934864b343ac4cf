#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/files.h"
#include "base/result.h"

namespace drydepth {

/// Unpacks gzip data as it streams by; members that follow each other count as one.
/// Error (exit 65) where the data is broken or ends early.
Result<Done> unpack_gzip(const ByteSource& packed, const ByteSink& out);

/// Unpacks a zlib stream of at most `size` bytes; nullopt where it is broken or longer.
std::optional<std::string> unpack_zlib(std::string_view packed, std::size_t size);

}  // namespace drydepth
