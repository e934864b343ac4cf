#pragma once

#include <string_view>

namespace drydepth {

/// Without the blanks at both ends.
inline std::string_view trimmed(std::string_view text,
                                std::string_view blanks = " \t\r\n") {
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

}  // namespace drydepth
