#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "record/csv/csv_table.h"

namespace drydepth {

/// A column found by its name, and the words of that name.
struct Column {
  std::size_t index = 0;
  std::vector<std::string> words{};
  bool says(std::string_view word) const;
};

/// The one column whose name has any of these words. Error when there are two; nothing
/// when there is none.
Result<std::optional<Column>> find_column(const CsvTable& table,
                                          const std::vector<std::string>& words);

/// How a table tells the time.
struct TimeColumn {
  std::size_t index = 0;
  double unit_s = 0;     ///< of a count; 0 where the cells are moments
  bool is_unix = false;  ///< counted from 1970, else from the start
};

/// The time column: time, datetime, timestamp or date for moments with a zone; seconds,
/// minutes, hours or elapsed (seconds) for a count from the start; unix or epoch. Error
/// when there is none.
Result<TimeColumn> find_time_column(const CsvTable& table);

/// The cell of a row; empty where the row is too short.
std::string_view cell(const CsvRow& row, std::size_t index);

/// The moment a row stands for. Error without a place.
Result<Instant> row_time(const CsvRow& row, const TimeColumn& column, Instant start);

}  // namespace drydepth
