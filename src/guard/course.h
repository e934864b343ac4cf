#pragma once

#include <vector>

#include "spool/replay.h"

namespace drydepth {

/// What a scale should show at a moment, and the mean moisture then.
struct CoursePoint {
  Instant at{};
  Percentiles gross_kg{};
  Percentiles mean{};  ///< kg/kg
};

/// A stretch of a spool's life as the ensemble sees it.
struct Course {
  std::optional<Instant> dried_from{}, dried_to{};  ///< of the last drying
  std::vector<CoursePoint> points;                  ///< rising in time
};

/// The last drying with up to a day before and after it, or the whole life where there
/// was none. Takes up to 16 of the members, evenly from the list: a picture needs no
/// more, and each is a replay. Same result whatever the number of threads (0: all).
Course weight_course(const Spool& spool, const std::vector<Member>& members,
                     unsigned threads);

}  // namespace drydepth
