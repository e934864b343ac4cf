#pragma once

#include "gcode/read/trace.h"

namespace drydepth {

/// A moment of a job as people find it again.
struct Place {
  double length_mm = 0;  ///< of this tool since the job's start
  double time_s = 0;
  std::uint64_t line = 0;
  std::uint32_t layer = 0;  ///< index into Trace::layers
  double z_mm = 0;
};

/// Where in the job a tool has taken a length: linear between the trace's points. A
/// length beyond the job's end is its end.
Place place_of(const Trace& trace, const ToolTrace& tool, double length_mm);

}  // namespace drydepth
