#pragma once

#include <string>
#include <vector>

#include "guard/actions/edit_place.h"
#include "rules/policy.h"

namespace drydepth {

/// The nozzle turned down where filament above the limit may arrive: less steam and
/// ooze, at the price of a weaker bond (common practice, no source).
struct AdjustPlan {
  std::vector<PlannedEdit> edits;  ///< in job order
  std::string refused;             ///< one clause, where nothing could be done
};

/// One step ahead of the early (p10) crossing and one ahead of the likely (p50), never
/// more than the policy allows in all, never below the material's least nozzle
/// temperature. Every later temperature of that tool is followed by its own, lower one;
/// those that switch off or stand by are left alone. Down only, never waiting.
AdjustPlan plan_adjust(const EditInput& in, const AdjustPolicy& policy);

}  // namespace drydepth
