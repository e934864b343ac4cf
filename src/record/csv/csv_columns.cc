#include "record/csv/csv_columns.h"

#include <algorithm>
#include <cmath>

#include "base/nearest.h"

namespace drydepth {
namespace {

bool has_any(const std::vector<std::string>& words,
             const std::vector<std::string>& wanted) {
  return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
    return std::find(wanted.begin(), wanted.end(), word) != wanted.end();
  });
}

std::string header_place(const CsvTable& table) {
  return table.file + ":" + std::to_string(table.header_line);
}

struct CountWords {
  std::vector<std::string> words;
  double unit_s;
  bool is_unix;
};

}  // namespace

bool Column::says(std::string_view word) const {
  return std::find(words.begin(), words.end(), word) != words.end();
}

Result<std::optional<Column>> find_column(const CsvTable& table,
                                          const std::vector<std::string>& words) {
  std::optional<Column> found;
  for (std::size_t i = 0; i < table.header.size(); ++i) {
    const std::vector<std::string> name = header_words(table.header[i]);
    if (!has_any(name, words)) continue;
    if (found) {
      return Error{header_place(table),
                   "two columns could be meant, \"" + table.header[found->index] +
                       "\" and \"" + table.header[i] + "\"",
                   "keep one of them, or rename the other"};
    }
    found = Column{i, name};
  }
  return found;
}

Result<TimeColumn> find_time_column(const CsvTable& table) {
  // A count comes first: "time_s" has both words.
  const CountWords counts[] = {{{"unix", "epoch"}, 1, true},
                               {{"seconds", "second", "sec", "s", "elapsed"}, 1, false},
                               {{"minutes", "minute", "min"}, 60, false},
                               {{"hours", "hour", "h"}, 3600, false}};
  for (const CountWords& count : counts) {
    const auto column = find_column(table, count.words);
    if (!column) return column.error();
    if (*column) return TimeColumn{(*column)->index, count.unit_s, count.is_unix};
  }
  const auto moment = find_column(table, {"time", "datetime", "timestamp", "date"});
  if (!moment) return moment.error();
  if (*moment) return TimeColumn{(*moment)->index, 0, false};
  return Error{header_place(table),
               "no column tells the time, there are: " + join_words(table.header),
               "name one time (moments with their zone), or seconds, minutes or hours"};
}

std::string_view cell(const CsvRow& row, std::size_t index) {
  return index < row.cells.size() ? std::string_view(row.cells[index])
                                  : std::string_view();
}

Result<Instant> row_time(const CsvRow& row, const TimeColumn& column, Instant start) {
  const std::string_view text = cell(row, column.index);
  if (column.unit_s == 0) return parse_instant(text);
  constexpr double kLongestS = 1e11;  // a moment beyond it is a count in milliseconds
  const std::optional<double> count = cell_number(text);
  if (!count || !(std::abs(*count * column.unit_s) < kLongestS)) {
    return Error{
        "", "expected a number in the time column, got \"" + std::string(text) + "\"",
        "mend the row"};
  }
  const Seconds passed(std::llround(*count * column.unit_s));
  return column.is_unix ? Instant(passed) : start + passed;
}

}  // namespace drydepth
