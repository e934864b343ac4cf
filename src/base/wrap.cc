#include "base/wrap.h"

#include <algorithm>
#include <cassert>
#include <cstdint>

namespace drydepth {
namespace {

// Bytes of the character that starts here, and the columns that it takes.
struct Glyph {
  std::size_t bytes = 1, columns = 1;
};

Glyph glyph_at(std::string_view text) {
  const auto byte = [&](std::size_t k) { return static_cast<std::uint8_t>(text[k]); };
  std::size_t bytes = 1;
  while (bytes < text.size() && bytes < 4 && byte(0) >= 0xC0 &&
         (byte(bytes) & 0xC0) == 0x80) {
    ++bytes;
  }
  // U+1100 and up are wide in most scripts; taking a narrow one for wide only breaks a
  // line early.
  const bool wide = bytes >= 3 && byte(0) >= 0xE1;
  return {bytes, wide ? 2U : 1U};
}

std::vector<std::string> broken(std::string_view word, std::size_t columns) {
  std::vector<std::string> out(1);
  std::size_t taken = 0;
  while (!word.empty()) {
    const Glyph glyph = glyph_at(word);
    if (taken + glyph.columns > columns) {
      out.emplace_back();
      taken = 0;
    }
    out.back() += word.substr(0, glyph.bytes);
    taken += glyph.columns;
    word.remove_prefix(glyph.bytes);
  }
  return out;
}

// A unit stays with its number: "0.03 %", "186 g needed".
bool sticks(std::string_view before, std::string_view word) {
  if (before.empty() || before.back() < '0' || before.back() > '9') return false;
  const std::size_t unit = word.find_first_of(").,;:|");
  const std::string_view bare = word.substr(0, unit);
  for (const std::string_view u : {"%", "g", "m", "C", "h", "min", "sd"}) {
    if (bare == u) return true;
  }
  return false;
}

}  // namespace

std::string held_together(std::string_view sentence) {
  std::string out;
  for (std::size_t k = 0; k < sentence.size(); ++k) {
    const std::string_view next = sentence.substr(k + 1);
    const bool held = sentence[k] == ' ' &&
                      sticks(sentence.substr(0, k), next.substr(0, next.find(' ')));
    if (held)
      out += "\u00a0";
    else
      out += sentence[k];
  }
  return out;
}

std::vector<std::string> wrap_text(std::string_view sentence, std::size_t columns) {
  std::vector<std::string> words;
  while (!sentence.empty()) {
    const std::size_t blank = sentence.find(' ');
    const std::string_view word = sentence.substr(0, blank);
    if (!words.empty() && sticks(words.back(), word)) {
      words.back() += " " + std::string(word);
    } else {
      words.emplace_back(word);
    }
    sentence = blank == std::string_view::npos ? "" : sentence.substr(blank + 1);
  }
  std::vector<std::string> lines;
  for (const std::string& word : words) {
    if (!lines.empty() && lines.back().size() + 1 + word.size() <= columns) {
      lines.back() += " " + word;
    } else {
      lines.push_back(word);
    }
  }
  return lines;
}

std::size_t columns_of(std::string_view text) {
  std::size_t out = 0;
  while (!text.empty()) {
    const Glyph glyph = glyph_at(text);
    out += glyph.columns;
    text.remove_prefix(glyph.bytes);
  }
  return out;
}

std::vector<std::string> narrow_lines(std::string_view sentence, std::size_t columns) {
  assert(columns >= 2);
  std::string plain(sentence);
  std::replace_if(
      plain.begin(), plain.end(),
      [](char c) { return static_cast<std::uint8_t>(c) < 0x20 || c == 0x7F; }, ' ');
  std::vector<std::string> out;
  for (const std::string& line : wrap_text(plain, columns)) {
    if (columns_of(line) <= columns) {
      out.push_back(line);
      continue;
    }
    for (std::string& piece : broken(line, columns)) out.push_back(std::move(piece));
  }
  return out;
}

}  // namespace drydepth
