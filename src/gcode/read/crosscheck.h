#pragma once

#include <string>

#include "gcode/read/metadata.h"

namespace drydepth {

/// Of one tool, what may explain a difference between measured and stated length.
struct Measured {
  double peak_mm = 0;  ///< with the flow factor
  double net_mm = 0;
  double unscaled_peak_mm = 0;  ///< without it
  double start_mm = 0;          ///< extruded before the first layer, unscaled
  bool flow_changed = false;
  bool relative = false;  ///< most E words were relative
};

/// Why the measured length is not the stated one, in a sentence; empty where they agree
/// within 0.05 mm or the rounding of the stated number.
std::string difference_note(const Measured& measured, const Stated& stated,
                            bool states_net);

}  // namespace drydepth
