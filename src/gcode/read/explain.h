#pragma once

#include <cstdint>
#include <vector>

#include "gcode/machine/limits.h"
#include "gcode/read/layers.h"
#include "gcode/read/reading.h"
#include "gcode/read/trace.h"

namespace drydepth {

/// What a pass has shown beside the trace itself.
struct Understood {
  Reading reading;
  KnownLimits limits;
  LayerForm layer_form = LayerForm::kNone;
  std::uint64_t e_moves = 0;
  std::uint64_t relative_e_moves = 0;
  std::uint64_t flow_commands = 0;  ///< M221 with a number
  bool flow_changed = false;
  bool volume_commands = false;  ///< M200 was met
  double purge_mm = 0;
};

/// How the job was understood, a row a choice that may be overridden or doubted.
std::vector<Explained> explain(const Trace& trace, const Understood& understood);

}  // namespace drydepth
