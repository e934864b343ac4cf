#include <algorithm>

#include "base/numbers.h"
#include "base/units.h"
#include "record/air_log.h"

namespace drydepth {
namespace {

constexpr Seconds kGap = std::chrono::minutes(30);

std::string hours(Seconds time) {
  return format_fixed(static_cast<double>(time.count()) / kSecondsPerHour, 1) + " h";
}

void note_gaps(const AirSeries& series, Instant from, Instant to,
               std::vector<std::string>& notes) {
  std::size_t count = 0;
  Seconds longest{};
  Instant where{};
  const auto& rows = series.readings;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    const Seconds gap = rows[i].at - rows[i - 1].at;
    if (gap <= kGap || rows[i - 1].at >= to || rows[i].at <= from) continue;
    ++count;
    if (gap > longest) {
      longest = gap;
      where = rows[i - 1].at;
    }
  }
  if (count == 0) return;
  notes.push_back(
      series.file + ": " +
      (count == 1 ? "a gap of " : std::to_string(count) + " gaps, the longest ") +
      hours(longest) + " from " + format_instant(where) +
      ", bridged by a straight line");
}

void note_ends(const AirSeries& series, Instant from, Instant to,
               std::vector<std::string>& notes) {
  const Seconds early = series.readings.front().at - from;
  const Seconds late = to - series.readings.back().at;
  if (early > kGap) {
    notes.push_back(series.file + ": begins " + hours(early) +
                    " late, its first row stands for that time");
  }
  if (late > kGap) {
    notes.push_back(series.file + ": ends " + hours(late) +
                    " early, its last row stands for that time");
  }
}

void note_humidity(const AirSeries& series, std::vector<std::string>& notes) {
  std::size_t silent = 0, at_floor = 0;
  for (const AirReading& r : series.readings) {
    if (!r.activity) ++silent;
    if (r.at_floor) ++at_floor;
  }
  const auto share = [&](std::size_t count) {
    const double part =
        static_cast<double>(count) / static_cast<double>(series.readings.size());
    return part == 1 ? std::string("all") : format_fixed(100 * part, 0) + " % of the";
  };
  if (silent > 0) {
    notes.push_back(series.file + ": " + share(silent) +
                    " rows have no humidity: taken as that of room air, heated");
  }
  if (at_floor > 0) {
    notes.push_back(series.file + ": " + share(at_floor) +
                    " rows are at or under the sensor's floor of " +
                    format_shortest(*series.floor * 100) +
                    " %: taken as room air, heated, at most the floor");
  }
}

}  // namespace

std::vector<std::string> air_log_notes(const AirSeries& series, Instant from,
                                       Instant to) {
  std::vector<std::string> notes = series.notes;
  note_gaps(series, from, to, notes);
  note_ends(series, from, to, notes);
  note_humidity(series, notes);
  return notes;
}

bool needs_room(const AirSeries& series) {
  return std::any_of(series.readings.begin(), series.readings.end(),
                     [](const AirReading& r) { return !r.activity || r.at_floor; });
}

}  // namespace drydepth
