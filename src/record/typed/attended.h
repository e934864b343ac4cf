#pragma once

#include <string_view>

#include "base/result.h"
#include "base/time.h"

namespace drydepth {

/// When somebody is there, local time, minutes of the day; from > to goes over
/// midnight.
struct Attended {
  int from_min = 0, to_min = 0;
};

/// Reads "07:00-22:00". Error without a place.
Result<Attended> parse_attended(std::string_view text);

bool attended_at(const Attended& hours, Instant at, const LocalZone& zone);

}  // namespace drydepth
