#pragma once

#include <chrono>
#include <functional>
#include <string>
#include <string_view>

#include "base/result.h"

namespace drydepth {

/// A moment in UTC, to the second. Everything inside and in records is UTC; local time
/// exists only in what a person types or reads.
using Instant = std::chrono::sys_seconds;
using Seconds = std::chrono::seconds;

/// Seconds from one moment to a later one.
inline double seconds_between(Instant from, Instant to) {
  return static_cast<double>((to - from).count());
}

/// A date and a time of day as a clock on the wall shows it.
struct CivilTime {
  int year = 1970;
  int month = 1;   ///< 1..12
  int day = 1;     ///< 1..31
  int hour = 0;    ///< 0..23
  int minute = 0;  ///< 0..59
  int second = 0;  ///< 0..59
  bool operator==(const CivilTime&) const = default;
};

/// What a place adds to UTC at a moment. A function, so that tests can bring their own.
struct LocalZone {
  std::function<Seconds(Instant)> offset_at;
};

LocalZone utc_zone();
/// The zone of the environment (TZ, else the machine's), read anew at every question.
LocalZone system_zone();

/// Reads "2026-03-02T08:00Z", with seconds (a fraction is cut off) or with "+01:00" for
/// the zone. Error (without a place) when the zone is missing or it is no such moment.
Result<Instant> parse_instant(std::string_view text);

/// "2026-03-02T08:00:00Z".
std::string format_instant(Instant at);

/// "2026-03-02 09:00", local.
std::string format_local(Instant at, const LocalZone& zone);

CivilTime to_local(Instant at, const LocalZone& zone);

/// The moment a local time stands for. Error (without a place) where the clock was put
/// forward over it, or shows it twice.
Result<Instant> from_local(const CivilTime& local, const LocalZone& zone);

/// Reads a time as typed. `date` is used where only a time of day is given.
///   "2026-03-02", "2026-03-02 21:30", "2026-03-02T21:30"
struct DateAndTime {
  CivilTime time;
  bool has_date = false;
};
Result<DateAndTime> parse_civil(std::string_view text);

}  // namespace drydepth
