#pragma once

#include <optional>
#include <string>
#include <vector>

#include "gcode/edit/retractions.h"
#include "guard/actions/edit_place.h"
#include "rules/policy.h"

namespace drydepth {

/// Retractions made longer where filament above the limit may arrive: less ooze from a
/// springy melt, a little (common practice, no source).
struct RetractPlan {
  std::optional<RetractionWish> wish;
  std::optional<PlannedEdit> mark;  ///< where it begins; its text is still to be said
  std::string refused;              ///< one clause; empty where there is no need
};

/// From the layer start ahead of the early (p10) crossing on. Never for a flexible
/// material, which a gear cannot push back and forth.
RetractPlan plan_retractions(const EditInput& in, const AdjustPolicy& policy);

/// Puts into the mark what was done; nothing where nothing could be.
std::optional<PlannedEdit> said_retractions(const RetractPlan& plan,
                                            const RetractionsDone& done);

/// Why some or all retractions of a tool were left alone, one clause; empty where none
/// were.
std::string left_retractions(const LongerRetractions& all, const RetractionsDone& done,
                             std::string_view firmware);

}  // namespace drydepth
