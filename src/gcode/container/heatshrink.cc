#include "gcode/container/heatshrink.h"

#include <cstdint>

namespace drydepth {
namespace {

/// Bits of a byte stream, the highest of each byte first.
class BitReader {
 public:
  explicit BitReader(std::string_view bytes) : bytes_(bytes) {}

  bool has(unsigned count) const { return bytes_.size() * 8 - at_ >= count; }
  /// Only where has(count).
  unsigned take(unsigned count) {
    unsigned value = 0;
    for (unsigned i = 0; i < count; ++i, ++at_) {
      const auto byte = static_cast<unsigned char>(bytes_[at_ / 8]);
      value = value << 1 | (byte >> (7 - at_ % 8) & 1u);
    }
    return value;
  }

 private:
  std::string_view bytes_;
  std::size_t at_ = 0;
};

}  // namespace

std::optional<std::string> unpack_heatshrink(std::string_view packed, unsigned window,
                                             unsigned lookahead, std::size_t size) {
  BitReader bits(packed);
  std::string out;
  out.reserve(size);
  while (out.size() < size) {
    if (!bits.has(1)) return std::nullopt;
    if (bits.take(1) == 1) {
      if (!bits.has(8)) return std::nullopt;
      out.push_back(static_cast<char>(bits.take(8)));
      continue;
    }
    if (!bits.has(window + lookahead)) return std::nullopt;
    const std::size_t distance = bits.take(window) + 1;
    std::size_t length = bits.take(lookahead) + 1;
    // The window before the first byte holds zeros.
    for (; length > 0 && out.size() < size; --length) {
      out.push_back(distance <= out.size() ? out[out.size() - distance] : '\0');
    }
  }
  return out;
}

}  // namespace drydepth
