#include "report/emphasis.h"

#include <algorithm>

#include "guard/verdict.h"

namespace drydepth {
namespace {

std::string bold(std::string_view words) {
  return "\x1b[1m" + std::string(words) + "\x1b[0m";
}

// A heading is one word with a capital at the very left, and blanks behind it.
std::size_t heading_length(std::string_view line) {
  if (line.empty() || line[0] < 'A' || line[0] > 'Z') return 0;
  std::size_t end = 1;
  while (end < line.size() && line[end] >= 'a' && line[end] <= 'z') ++end;
  const bool stands_alone = line.substr(end, 2) == "  " || end == 8;
  return stands_alone && end < line.size() && line[end] == ' ' ? end : 0;
}

bool is_word_byte(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         c == '-' || c == '_';
}

// The verdict that starts at a place, standing alone; empty where none does.
std::string_view verdict_at(std::string_view line, std::size_t at) {
  if (at > 0 && is_word_byte(line[at - 1])) return {};
  for (const Verdict v : {Verdict::kStaysDry, Verdict::kMayCross, Verdict::kWillCross,
                          Verdict::kCannotTell}) {
    const std::string_view name = verdict_name(v);
    const std::size_t end = at + name.size();
    if (line.substr(at, name.size()) != name) continue;
    if (end == line.size() || !is_word_byte(line[end])) return name;
  }
  return {};
}

std::string emphasised_line(std::string_view line) {
  const std::size_t heading = heading_length(line);
  std::string out = heading > 0 ? bold(line.substr(0, heading)) : "";
  for (std::size_t k = heading; k < line.size();) {
    const std::string_view verdict = verdict_at(line, k);
    out += verdict.empty() ? std::string(1, line[k]) : bold(verdict);
    k += std::max<std::size_t>(1, verdict.size());
  }
  return out;
}

}  // namespace

std::string emphasised(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    out += emphasised_line(text.substr(0, end));
    if (end < text.size()) out += '\n';
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

std::string emphasised_table(std::string_view text) {
  const std::size_t end = text.find('\n');
  if (end == text.npos) return std::string(text);
  return bold(text.substr(0, end)) + std::string(text.substr(end));
}

}  // namespace drydepth
