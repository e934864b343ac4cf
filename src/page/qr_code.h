#pragma once

#include <string_view>
#include <vector>

#include "base/result.h"

namespace drydepth {

/// A QR code (ISO/IEC 18004) without its quiet zone: `side` modules a row, dark ones
/// true, row by row from the top.
struct QrCode {
  std::size_t side = 0;
  std::vector<bool> dark;

  bool at(std::size_t row, std::size_t column) const {
    return dark[row * side + column];
  }
};

/// Empty rows of modules that a reader wants on each side.
constexpr std::size_t kQuietModules = 4;

/// The smallest code that holds the bytes at error correction level M. Error (exit 65)
/// where none does: 2331 bytes are the most.
Result<QrCode> qr_code(std::string_view bytes);

}  // namespace drydepth
