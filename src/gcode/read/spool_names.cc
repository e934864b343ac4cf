#include "gcode/read/spool_names.h"

#include <algorithm>
#include <vector>

namespace drydepth {
namespace {

constexpr std::string_view kWord = "drydepth-spool:";
constexpr std::string_view kNotes = "filament_notes";
constexpr std::string_view kBlanks = " \t\r";

std::string_view trim(std::string_view text) {
  const auto first = text.find_first_not_of(kBlanks);
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

// The name behind the word, up to the end of its line; empty where there is none.
std::string_view name_in(std::string_view text) {
  const auto at = text.find(kWord);
  if (at == text.npos) return {};
  const std::string_view rest = text.substr(at + kWord.size());
  return trim(rest.substr(0, rest.find_first_of("\n;\"")));
}

bool is_tool(std::string_view text) {
  return text.size() >= 2 && text.size() <= 3 && text[0] == 'T' &&
         std::all_of(text.begin() + 1, text.end(),
                     [](char c) { return c >= '0' && c <= '9'; });
}

void take_comment(std::string_view name, std::map<int, std::string>& out) {
  if (name.empty()) return;
  const auto equals = name.find('=');
  if (equals != name.npos && is_tool(name.substr(0, equals))) {
    const int tool = std::stoi(std::string(name.substr(1, equals - 1)));
    out.emplace(tool, name.substr(equals + 1));
  } else {
    out.emplace(-1, name);
  }
}

// The elements of a settings list: quoted where they hold blanks or separators, with \n
// and \" inside; else bare up to the next ';'.
std::vector<std::string> list_elements(std::string_view value) {
  std::vector<std::string> out(1);
  bool quoted = false;
  for (std::size_t k = 0; k < value.size(); ++k) {
    const char c = value[k];
    if (c == '\\' && quoted && k + 1 < value.size()) {
      ++k;
      out.back() += value[k] == 'n' ? '\n' : value[k];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ';' && !quoted) {
      out.emplace_back();
    } else {
      out.back() += c;
    }
  }
  return out;
}

void take_line(std::string_view line, std::map<int, std::string>& comments,
               std::map<int, std::string>& notes) {
  line = trim(line);
  if (!line.starts_with(';')) return;
  const std::string_view text = trim(line.substr(1));
  if (text.starts_with(kNotes)) {
    const auto equals = text.find('=');
    if (equals != text.npos) notes = spools_in_notes(trim(text.substr(equals + 1)));
  } else if (text.starts_with(kWord)) {
    take_comment(name_in(text), comments);
  }
}

void take_lines(std::string_view text, std::map<int, std::string>& comments,
                std::map<int, std::string>& notes) {
  while (!text.empty()) {
    const auto end = text.find('\n');
    take_line(text.substr(0, end), comments, notes);
    if (end == text.npos) return;
    text.remove_prefix(end + 1);
  }
}

}  // namespace

std::map<int, std::string> spools_in_notes(std::string_view value) {
  std::map<int, std::string> out;
  int tool = 0;
  for (const std::string& element : list_elements(value)) {
    const std::string_view name = name_in(element);
    if (!name.empty()) out.emplace(tool, name);
    ++tool;
  }
  return out;
}

std::map<int, std::string> named_spools(std::string_view job) {
  std::map<int, std::string> comments, notes;
  if (job.size() <= kNamesAtTop + kNamesAtEnd) {
    take_lines(job, comments, notes);
  } else {
    take_lines(job.substr(0, kNamesAtTop), comments, notes);
    take_lines(job.substr(job.size() - kNamesAtEnd), comments, notes);
  }
  // A name for every tool leaves nothing for the notes to say.
  if (!comments.contains(-1)) comments.merge(notes);
  return comments;
}

}  // namespace drydepth
