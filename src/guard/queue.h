#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "guard/place.h"
#include "guard/race.h"

namespace drydepth {

/// Jobs that a printer runs one after another, the first at time zero.
struct QueuedJob {
  std::string name{};
  Trace trace{};
  double start_s = 0;
};
/// `between_s`: from the end of one to the start of the next.
std::vector<QueuedJob> make_queue(std::vector<QueuedJob> jobs, double between_s);

/// What a tool takes from its spool over the whole queue, in dry mass of its strand.
std::vector<DrawPoint> queue_curve(const std::vector<QueuedJob>& queue, int tool,
                                   const SpoolRecord& record, const Material& material);

/// A moment of a queue: which job, and where in it.
struct QueuePlace {
  std::size_t job = 0;
  Place place{};  ///< time since the start of that job
};
/// Where the queue has taken a length of a tool's filament; beyond the end, its end.
QueuePlace queue_place(const std::vector<QueuedJob>& queue, int tool, double length_mm);

}  // namespace drydepth
