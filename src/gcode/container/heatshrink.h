#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace drydepth {

/// Unpacks a heatshrink stream of the given window and lookahead (in bits) to `size`
/// bytes. nullopt when the stream ends before. Format: the heatshrink documentation; a
/// bit 1 and a byte, or a bit 0, a distance less one and a length less one.
std::optional<std::string> unpack_heatshrink(std::string_view packed, unsigned window,
                                             unsigned lookahead, std::size_t size);

}  // namespace drydepth
