#pragma once

#include <string>
#include <string_view>

namespace drydepth {

/// Unpacks MeatPack text, which begins unpacked. Blanks that the packer left out stay
/// out: no reader of G-code needs them. Format: the MeatPack documentation. Two
/// characters a byte, the first in the low half; half-byte 15 stands for a whole byte
/// behind it; FF FF and a command switch packing and the mode without blanks.
std::string unpack_meatpack(std::string_view packed);

}  // namespace drydepth
