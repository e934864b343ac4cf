#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace drydepth {

/// A row of a table with the line it stands on, counted from 1.
struct CsvRow {
  std::size_t line = 0;
  std::vector<std::string> cells{};
};

/// A table of a logger's file: cells without the blanks and quotes around them.
struct CsvTable {
  std::string file{};  ///< the name errors call it by
  std::size_t header_line = 0;
  std::vector<std::string> header{};
  std::vector<CsvRow> rows{};
};

/// Reads a text with a header line and rows apart by comma, semicolon or tab: whichever
/// the header has most of. Lines that are empty or begin with # are left out. Error for
/// a text without rows or without columns.
Result<CsvTable> read_csv(std::string_view text, std::string_view file);

/// A number of a cell, "23.4" or "23,4"; nothing for anything else, an empty cell too.
std::optional<double> cell_number(std::string_view cell);

/// The words of a column's name, lower case, the unit among them: "Temp. (°C)" is
/// "temp" and "c".
std::vector<std::string> header_words(std::string_view name);

}  // namespace drydepth
