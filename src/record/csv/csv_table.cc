#include "record/csv/csv_table.h"

#include <algorithm>
#include <array>
#include <utility>

#include "base/numbers.h"
#include "base/trimmed.h"

namespace drydepth {
namespace {

char separator_of(std::string_view header) {
  constexpr std::array<char, 3> kSeparators = {';', '\t', ','};
  return *std::max_element(kSeparators.begin(), kSeparators.end(), [&](char a, char b) {
    return std::count(header.begin(), header.end(), a) <
           std::count(header.begin(), header.end(), b);
  });
}

// A quoted cell may hold separators, and a quote written twice.
std::vector<std::string> split(std::string_view line, char separator) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    const bool twice = quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"';
    if (twice) {
      cells.back() += line[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == separator && !quoted) {
      cells.emplace_back();
    } else {
      cells.back() += c;
    }
  }
  for (std::string& cell : cells) cell = std::string(trimmed(cell));
  return cells;
}

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '%';
}

}  // namespace

Result<CsvTable> read_csv(std::string_view text, std::string_view file) {
  constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  CsvTable out;
  out.file = file;
  char separator = ',';
  for (std::size_t line = 1; !text.empty(); ++line) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view row = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (trimmed(row).empty() || trimmed(row).front() == '#') continue;
    if (out.header_line == 0) {
      separator = separator_of(row);
      out.header = split(row, separator);
      out.header_line = line;
    } else {
      out.rows.push_back({line, split(row, separator)});
    }
  }
  if (out.rows.empty()) {
    return Error{out.file, "there are no rows below a header line",
                 "give a table with the names of its columns in the first line"};
  }
  return out;
}

std::optional<double> cell_number(std::string_view cell) {
  std::string text(cell);
  const bool comma = text.find('.') == std::string::npos &&
                     std::count(text.begin(), text.end(), ',') == 1;
  // A table apart by commas has one left only in a quoted cell.
  if (comma) std::replace(text.begin(), text.end(), ',', '.');
  return parse_number(text);
}

std::vector<std::string> header_words(std::string_view name) {
  std::vector<std::string> words(1);
  for (const char c : name) {
    if (!is_letter(c)) {
      if (!words.back().empty()) words.emplace_back();
      continue;
    }
    const bool upper = c >= 'A' && c <= 'Z';
    words.back() += upper ? static_cast<char>(c - 'A' + 'a') : c;
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

}  // namespace drydepth
