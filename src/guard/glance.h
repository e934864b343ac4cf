#pragma once

#include <vector>

#include "guard/race.h"

namespace drydepth {

/// The two numbers that a line has room for: what the whole race begins with, without
/// its layers and without looking ahead, and the scale as the members see it.
struct Glance {
  Percentiles mean{};      ///< moisture of what is left, kg/kg
  Percentiles depth_kg{};  ///< below the limit asked for, from outside
  /// What the scale would show at each reading of the timeline, kg, as far as the
  /// readings before it tell of a tare behind a respool.
  std::vector<Percentiles> foreseen_kg{};
};

/// Replays a spool's life for every member. `limit` in kg/kg; members as for run_race,
/// whose numbers these are. The same whatever the number of threads (0: all).
Glance glance(const Spool& spool, double limit, const std::vector<Member>& members,
              unsigned threads);

}  // namespace drydepth
