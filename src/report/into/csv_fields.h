#pragma once

// Cells of ours in somebody else's table: comma, semicolon or tab between the cells,
// quoted as RFC 4180 has it. Every byte that is no cell of ours stays: quotes that were
// not needed, line ends, a byte-order mark, empty lines.

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace drydepth {

/// A cell to set. A number is written with a decimal point, which becomes a comma in a
/// table of semicolons: that is how spreadsheets write one where the comma is taken.
struct CsvField {
  std::string column;
  std::string value;
  bool number = false;
};

/// The table with the fields set in one row; columns that it lacks are added behind the
/// last one. `typed` names the row: WORD for a cell that says so, COLUMN=WORD for one
/// in that column; where it is empty, the row is the one with a cell that is `job` or a
/// path that ends in it. Error (exit 65) where no row fits, or two do, a column stands
/// twice, or the table is broken.
Result<std::string> put_csv_fields(std::string_view text, std::string_view file,
                                   const std::string& job, const std::string& typed,
                                   const std::vector<CsvField>& fields);

}  // namespace drydepth
