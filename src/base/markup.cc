#include "base/markup.h"

#include <cstdint>

#include "base/wrap.h"

namespace drydepth {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

}  // namespace

// Bytes of the character that starts here, 0 where none does (RFC 3629, section 4).
std::size_t character_bytes(std::string_view text) {
  const auto byte = [&](std::size_t k) {
    return k < text.size() ? static_cast<std::uint8_t>(text[k]) : std::uint8_t{0};
  };
  const std::uint8_t first = byte(0), second = byte(1);
  if (first < 0x80) return 1;
  std::size_t count = 0;
  if (first >= 0xC2 && first <= 0xDF) count = 2;
  if (first >= 0xE0 && first <= 0xEF) count = 3;
  if (first >= 0xF0 && first <= 0xF4) count = 4;
  const bool overlong =
      (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
  const bool beyond =
      (first == 0xED && second > 0x9F) || (first == 0xF4 && second > 0x8F);
  // U+FFFE and U+FFFF are no characters of XML.
  const bool banned = first == 0xEF && second == 0xBF && byte(2) >= 0xBE;
  if (overlong || beyond || banned) return 0;
  for (std::size_t k = 1; k < count; ++k) {
    if ((byte(k) & 0xC0) != 0x80) return 0;
  }
  return count;
}

std::string xml_escaped(std::string_view text) {
  std::string out;
  for (std::size_t k = 0; k < text.size();) {
    const char c = text[k];
    const std::size_t bytes = character_bytes(text.substr(k));
    const bool control = bytes == 1 &&
                         (static_cast<std::uint8_t>(c) < 0x20 || c == 0x7F) &&
                         c != '\t' && c != '\n' && c != '\r';
    if (bytes == 0 || control) {
      out += kReplacement;
      ++k;
      continue;
    }
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += text.substr(k, bytes);
    }
    k += bytes;
  }
  return out;
}

std::string html_text(std::string_view element, std::string_view text) {
  const std::string name(element);
  const std::string closing = name.substr(0, name.find(' '));
  return "<" + name + ">" + xml_escaped(text) + "</" + closing + ">\n";
}

std::string html_sentence(std::string_view element, std::string_view text) {
  return html_text(element, held_together(text));
}

std::string html_list(const std::vector<std::string>& items) {
  std::string out = "<ul>\n";
  for (const std::string& item : items) out += html_sentence("li", item);
  return out + "</ul>\n";
}

}  // namespace drydepth
