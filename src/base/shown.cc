#include "base/shown.h"

#include <cstdint>

#include "base/markup.h"

namespace drydepth {
namespace {

std::string hex(std::uint32_t number, int digits) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string out;
  for (int k = digits - 1; k >= 0; --k) out += kDigits[(number >> (4 * k)) & 0xF];
  return out;
}

// The code point of a whole character of UTF-8.
std::uint32_t code_point(std::string_view character) {
  const auto first = static_cast<std::uint8_t>(character[0]);
  if (character.size() == 1) return first;
  std::uint32_t out = first & (0x7FU >> character.size());
  for (const char c : character.substr(1)) {
    out = (out << 6) | (static_cast<std::uint8_t>(c) & 0x3FU);
  }
  return out;
}

// C0, DEL and C1; line and paragraph separators; marks, embeddings, overrides and
// isolates of the bidirectional algorithm (Unicode Standard Annex 9).
bool is_control(std::uint32_t c) {
  return c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0x061C || c == 0x200E ||
         c == 0x200F || (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

std::string spelled(std::uint32_t c) {
  if (c == '\n') return "\\n";
  if (c == '\r') return "\\r";
  if (c == '\t') return "\\t";
  return "\\u" + hex(c, 4);
}

template <class Stays>
std::string spelled_out(std::string_view text, Stays stays) {
  std::string out;
  for (std::size_t k = 0; k < text.size();) {
    const std::size_t bytes = character_bytes(text.substr(k));
    if (bytes == 0) {
      out += "\\x" + hex(static_cast<std::uint8_t>(text[k]), 2);
      ++k;
      continue;
    }
    const std::string_view character = text.substr(k, bytes);
    const std::uint32_t c = code_point(character);
    if (is_control(c) && !stays(k)) {
      out += spelled(c);
    } else {
      out += character;
    }
    k += bytes;
  }
  return out;
}

}  // namespace

std::string shown(std::string_view text) {
  return spelled_out(text, [](std::size_t) { return false; });
}

std::string shown_text(std::string_view text) {
  return spelled_out(text, [&](std::size_t k) {
    const bool ends_line =
        text[k] == '\n' || (text[k] == '\r' && text.substr(k + 1).starts_with('\n'));
    return ends_line || text[k] == '\t';
  });
}

}  // namespace drydepth
