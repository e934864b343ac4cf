#include "record/scale_log.h"

#include <algorithm>

#include "record/csv/csv_columns.h"

namespace drydepth {
namespace {

constexpr std::size_t kMostRows = 500;

// The international pound of 1959 is 0.45359237 kg, exactly.
struct Unit {
  const char* word;
  double kg;
};
constexpr Unit kUnits[] = {
    {"g", 0.001}, {"kg", 1}, {"oz", 0.45359237 / 16}, {"lb", 0.45359237}};

Result<double> unit_of(const Column& column, const CsvTable& table) {
  for (const Unit& unit : kUnits) {
    if (column.says(unit.word)) return unit.kg;
  }
  return Error{
      table.file + ":" + std::to_string(table.header_line),
      "the column \"" + table.header[column.index] + "\" does not say its unit",
      "name it e.g. gross_g"};
}

}  // namespace

Result<std::vector<Weighing>> read_scale_log(std::string_view text,
                                             std::string_view file,
                                             double scale_sd_kg) {
  const auto table = read_csv(text, file);
  if (!table) return table.error();
  const auto time = find_time_column(*table);
  if (!time) return time.error();
  const std::string header = table->file + ":" + std::to_string(table->header_line);
  if (time->unit_s > 0 && !time->is_unix) {
    return Error{header, "its times are counted from a start that nobody states",
                 "give moments with their zone, or unix seconds"};
  }
  const auto mass = find_column(*table, {"mass", "weight", "gross"});
  if (!mass) return mass.error();
  if (!*mass) return Error{header, "no column holds the mass", "name one gross_g"};
  const auto unit_kg = unit_of(**mass, *table);
  if (!unit_kg) return unit_kg.error();
  if (table->rows.size() > kMostRows) {
    return Error{table->file,
                 std::to_string(table->rows.size()) + " rows are more than " +
                     std::to_string(kMostRows),
                 "keep one reading every few minutes"};
  }
  std::vector<Weighing> out;
  for (const CsvRow& row : table->rows) {
    const std::string where = table->file + ":" + std::to_string(row.line);
    const auto at = row_time(row, *time, Instant{});
    if (!at) return Error{where, at.error().what, at.error().hint};
    const auto reading = cell_number(cell(row, (*mass)->index));
    if (!reading || *reading <= 0) {
      return Error{
          where,
          "\"" + std::string(cell(row, (*mass)->index)) + "\" is no mass above 0",
          "mend or remove the row"};
    }
    out.push_back({*at, *reading * *unit_kg, scale_sd_kg});
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Weighing& a, const Weighing& b) { return a.at < b.at; });
  return out;
}

}  // namespace drydepth
