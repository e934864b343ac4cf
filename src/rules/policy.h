#pragma once

#include <vector>

#include "base/result.h"
#include "rules/rule_text.h"
#include "rules/sourced.h"

namespace drydepth {

/// How far the nozzle may be turned down, and retractions be lengthened.
struct AdjustPolicy {
  Sourced step_c;              ///< at one place
  Sourced most_c;              ///< in all
  Sourced least_nozzle_c;      ///< never below, whatever the material
  Sourced retract_longer;      ///< share of the retraction's own length
  Sourced retract_most_mm;     ///< added at most
  Sourced retract_unload_mm;   ///< longer ones are no retraction
  Sourced retract_most_pairs;  ///< with more of them all are left alone
};

/// Where a job may stop. Marks add up over what a layer is; the highest sum wins.
struct PausePolicy {
  Sourced clear_layers;   ///< so many at the bottom never
  Sourced short_layer_s;  ///< shorter: small islands
  Sourced long_layer_s;   ///< longer: a large part
  Sourced hour_earlier, hidden, on_skin, on_bridge, on_island;  ///< marks
  Sourced hold_h;  ///< the firmware is told to keep heat and place so long; 0: is not
};

struct Policy {
  AdjustPolicy adjust;
  PausePolicy pause;
  std::string text;       ///< the JSON that all of this was read from
  Sourced support_share;  ///< from here on a tool of several prints support only
};

/// The embedded policy, patched (RFC 7386) by the overlay's policy.json. Error for the
/// first thing wrong in a file.
Result<Policy> load_policy(const std::vector<RuleText>& overlay = {});

}  // namespace drydepth
