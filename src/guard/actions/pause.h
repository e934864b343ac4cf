#pragma once

// Where a job may stop so that somebody can change the spool.
//
// Every layer start before the early crossing is a candidate. It gets marks for what a
// stop would do there: hidden under filling or a tower is good, a bridge, a top skin or
// a small island is bad, and each hour before the last possible place costs something,
// since filament below the limit is left on the spool. The rules and their weights are
// data (rules/policy.json).

#include <optional>
#include <string>

#include "base/time.h"
#include "guard/actions/edit_place.h"
#include "record/typed/attended.h"
#include "rules/policy.h"

namespace drydepth {

struct PauseWish {
  PausePolicy policy;
  Instant start{};  ///< of the job
  LocalZone zone;
  std::optional<Attended> attended;
};

/// A pause, or why there is none; and what speaks against it either way.
struct PausePlan {
  std::optional<PlannedEdit> edit;
  std::string refused;  ///< one clause; empty where there is an edit or no need
  std::string against;  ///< one sentence; empty where nothing speaks against it
  std::string stands;   ///< what to mind while it stands, one sentence; empty: no pause
  double after_s = 0;   ///< of the job, where the edit stands
};

/// Marks of a stop at the start of layer k, without what being early costs.
double pause_marks(const Trace& trace, std::size_t k, const PausePolicy& policy);

/// No crossing at p10, no pause.
PausePlan plan_pause(const EditInput& in, const PauseWish& wish);

}  // namespace drydepth
