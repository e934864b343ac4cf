#pragma once

#include <vector>

#include "base/result.h"
#include "rules/rule_text.h"
#include "rules/sourced.h"

namespace drydepth {

/// How far the nozzle may be turned down.
struct AdjustPolicy {
  Sourced step_c;          ///< at one place
  Sourced most_c;          ///< in all
  Sourced least_nozzle_c;  ///< never below, whatever the material
};

/// Where a job may stop. Marks add up over what a layer is; the highest sum wins.
struct PausePolicy {
  Sourced clear_layers;   ///< so many at the bottom never
  Sourced short_layer_s;  ///< shorter: small islands
  Sourced long_layer_s;   ///< longer: a large part
  Sourced hour_earlier, hidden, on_skin, on_bridge, on_island;  ///< marks
};

struct Policy {
  AdjustPolicy adjust;
  PausePolicy pause;
};

/// The embedded policy, patched (RFC 7386) by the overlay's policy.json. Error for the
/// first thing wrong in a file.
Result<Policy> load_policy(const std::vector<RuleText>& overlay = {});

}  // namespace drydepth
