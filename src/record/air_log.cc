#include "record/air_log.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"
#include "base/units.h"
#include "moisture/air.h"
#include "record/csv/csv_columns.h"

namespace drydepth {
namespace {

constexpr double kColdestK = 233.15, kHottestK = 473.15;
// Where cheap humidity sensors end (common practice, no source), and how long a reading
// must stand there to be the end and not the air.
constexpr double kUsualFloors[] = {0.10, 0.20};
constexpr std::size_t kFloorRows = 5;
constexpr Seconds kFloorTime = std::chrono::minutes(30);
constexpr std::size_t kNamedLines = 5;

struct Columns {
  TimeColumn time;
  Column temperature;
  std::optional<Column> humidity, dew_point;
};

Result<Columns> find_columns(const CsvTable& table) {
  Columns out;
  const auto time = find_time_column(table);
  if (!time) return time.error();
  out.time = *time;
  auto dew = find_column(table, {"dew", "dewpoint"});
  if (!dew) return dew.error();
  out.dew_point = *dew;
  auto humidity = find_column(table, {"humidity", "rh", "%rh", "hum"});
  if (!humidity) return humidity.error();
  out.humidity = *humidity;
  // A dew point is a temperature by its name too.
  CsvTable rest = table;
  if (out.dew_point) rest.header[out.dew_point->index].clear();
  auto temperature = find_column(rest, {"temperature", "temp"});
  if (!temperature) return temperature.error();
  if (!*temperature) {
    return Error{table.file + ":" + std::to_string(table.header_line),
                 "no column holds the temperature",
                 "name one temperature_c, temperature_f or temperature_k"};
  }
  out.temperature = **temperature;
  return out;
}

std::optional<double> temperature_k(const Column& column, std::string_view text) {
  const std::optional<double> number = cell_number(text);
  if (!number) return std::nullopt;
  double kelvin = *number + kZeroCelsiusK;
  if (column.says("f") || column.says("fahrenheit")) {
    kelvin = (*number - 32) / 1.8 + kZeroCelsiusK;
  }
  if (column.says("k") || column.says("kelvin")) kelvin = *number;
  if (kelvin < kColdestK || kelvin > kHottestK) return std::nullopt;
  return kelvin;
}

Result<AirReading> read_row(const CsvRow& row, const Columns& columns, Instant start) {
  const auto at = row_time(row, columns.time, start);
  if (!at) return at.error();
  AirReading out{.at = *at};
  const std::string_view text = cell(row, columns.temperature.index);
  const auto kelvin = temperature_k(columns.temperature, text);
  if (!kelvin) {
    return Error{"",
                 "\"" + std::string(text) + "\" is no temperature from -40 to 200 C",
                 "mend the row, or name the unit in the header"};
  }
  out.temperature_k = *kelvin;
  if (columns.humidity) {
    const auto percent = cell_number(cell(row, columns.humidity->index));
    if (percent && (*percent < 0 || *percent > 105)) {
      return Error{"", "the humidity lies outside 0 to 100 %", "mend the row"};
    }
    if (percent) out.activity = std::min(1.0, *percent / 100);
  } else if (columns.dew_point) {
    const auto dew =
        temperature_k(*columns.dew_point, cell(row, columns.dew_point->index));
    if (dew) {
      out.activity =
          std::min(1.0, saturation_pressure_pa(*dew) / saturation_pressure_pa(*kelvin));
    }
  }
  return out;
}

std::string counted(std::size_t count, const std::string& what) {
  return std::to_string(count) + " " + what + (count == 1 ? "" : "s");
}

std::string bad_rows_note(const std::string& file,
                          const std::vector<std::size_t>& bad) {
  std::string lines;
  for (std::size_t i = 0; i < std::min(bad.size(), kNamedLines); ++i) {
    lines += (i > 0 ? ", " : "") + std::to_string(bad[i]);
  }
  if (bad.size() > kNamedLines) lines += " and more";
  return file + ": " + counted(bad.size(), "row") + " cannot be read and " +
         (bad.size() == 1 ? "is" : "are") + " left out (line " + lines + ")";
}

// The smallest difference between two values that occur, at most `most`; 0 for one
// value only.
double rounding_of(std::vector<double> values, double most) {
  std::sort(values.begin(), values.end());
  double step = 0;
  for (std::size_t i = 1; i < values.size(); ++i) {
    const double apart = values[i] - values[i - 1];
    if (apart > 1e-6 && (step == 0 || apart < step)) step = apart;
  }
  return std::min(step, most);
}

void note_rounding(AirSeries& series) {
  std::vector<double> temperatures, activities;
  for (const AirReading& r : series.readings) {
    temperatures.push_back(r.temperature_k);
    if (r.activity) activities.push_back(*r.activity);
  }
  series.temperature_step_k = rounding_of(std::move(temperatures), 1.0);
  series.activity_step = rounding_of(std::move(activities), 0.02);
}

// A reading that stands still at the lowest of all values, and at one where sensors
// end.
std::optional<double> seen_floor(const std::vector<AirReading>& readings) {
  double lowest = 2;
  for (const AirReading& r : readings)
    lowest = std::min(lowest, r.activity.value_or(2));
  const bool usual =
      std::any_of(std::begin(kUsualFloors), std::end(kUsualFloors),
                  [lowest](double floor) { return std::abs(lowest - floor) < 1e-9; });
  if (!usual) return std::nullopt;
  std::size_t run = 0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    run = readings[i].activity == lowest ? run + 1 : 0;
    if (run >= kFloorRows && readings[i].at - readings[i + 1 - run].at >= kFloorTime) {
      return lowest;
    }
  }
  return std::nullopt;
}

void mark_floor(AirSeries& series, const AirLog& log) {
  series.floor = log.floor ? log.floor : seen_floor(series.readings);
  if (!series.floor) return;
  for (AirReading& r : series.readings) {
    r.at_floor = r.activity && *r.activity <= *series.floor + 1e-9;
  }
}

void sort_rows(AirSeries& series, std::size_t displaced, std::size_t first_line) {
  if (displaced > 0) {
    series.notes.push_back(series.file + ": " + counted(displaced, "row") + " out of " +
                           "order (first at line " + std::to_string(first_line) +
                           "), sorted by time");
  }
  const auto earlier = [](const AirReading& a, const AirReading& b) {
    return a.at < b.at;
  };
  std::stable_sort(series.readings.begin(), series.readings.end(), earlier);
  // Of rows in one second the last one stands.
  std::vector<AirReading> kept;
  for (const AirReading& r : series.readings) {
    if (!kept.empty() && kept.back().at == r.at) kept.pop_back();
    kept.push_back(r);
  }
  series.readings = std::move(kept);
}

}  // namespace

Result<AirSeries> read_air_log(std::string_view text, std::string_view file,
                               const AirLog& log, Instant start) {
  const auto table = read_csv(text, file);
  if (!table) return table.error();
  const auto columns = find_columns(*table);
  if (!columns) return columns.error();
  AirSeries out;
  out.file = file;
  out.counted = columns->time.unit_s > 0 && !columns->time.is_unix;
  std::optional<Error> first_error;
  std::vector<std::size_t> bad;
  std::size_t displaced = 0, first_displaced = 0;
  for (const CsvRow& row : table->rows) {
    const auto reading = read_row(row, *columns, start);
    if (!reading) {
      if (!first_error) first_error = reading.error();
      bad.push_back(row.line);
      continue;
    }
    if (!out.readings.empty() && reading->at < out.readings.back().at) {
      if (++displaced == 1) first_displaced = row.line;
    }
    out.readings.push_back(*reading);
  }
  if (out.readings.empty()) {
    Error error = *first_error;
    error.where = out.file + ":" + std::to_string(bad.front());
    return error;
  }
  if (!bad.empty()) out.notes.push_back(bad_rows_note(out.file, bad));
  sort_rows(out, displaced, first_displaced);
  mark_floor(out, log);
  note_rounding(out);
  return out;
}

}  // namespace drydepth
