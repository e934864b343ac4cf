#pragma once

// How much of a job was printed, where it ended before its end.

#include <optional>
#include <string_view>
#include <vector>

#include "gcode/edit/blocks.h"
#include "guard/race.h"

namespace drydepth {

/// Where a print stopped, as people read it off a printer.
enum class StopKind { kLayer, kPercent, kLine };
struct StopPlace {
  StopKind kind = StopKind::kPercent;
  double value = 0;  ///< layer from 1; percent of the job's time; line of the file
};
/// Reads "L31" or "layer 31", "62%", "line 51234". Error without a place.
Result<StopPlace> parse_stop_place(std::string_view text);

/// A stretch of the job's time in which it ended, s since its start.
struct StopTime {
  double earliest_s = 0, latest_s = 0;
};
/// A layer is somewhere between its start and its end; lines are those of the file with
/// its blocks. Error without a place for one that the job does not have.
Result<StopTime> stop_time(const Trace& trace, const StopPlace& place,
                           const std::vector<Block>& blocks);

/// Dry mass taken at a time, kg: the curve is linear between its points.
double mass_at_time(const std::vector<DrawPoint>& curve, double time_s);

}  // namespace drydepth
