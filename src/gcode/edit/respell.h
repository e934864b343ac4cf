#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace drydepth {

/// A decimal number with so many thousandths added, spelled as it was: as many decimals
/// at least, a leading zero and a plus sign only where it had them, and exact. Nothing
/// where the text is no plain number of at most 15 digits.
std::optional<std::string> shifted_number(std::string_view number,
                                          std::int64_t thousandths);

/// Where the number behind a word letter stands in a line of plain words, comment left
/// out; size 0 where there is none.
struct NumberSpan {
  std::size_t at = 0, size = 0;
};
NumberSpan find_number(std::string_view line, char word);

}  // namespace drydepth
