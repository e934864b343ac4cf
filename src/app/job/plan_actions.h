#pragma once

// What guard may do to a job beyond its note.

#include <optional>
#include <string>
#include <vector>

#include "base/time.h"
#include "guard/actions/edit_place.h"
#include "guard/actions/pause.h"
#include "report/report.h"
#include "rules/policy.h"

namespace drydepth {

struct ActionWords {
  std::vector<std::string> actions;  ///< as typed; empty: a message
  std::string attended, support;
};

struct Actions {
  bool message = true, pause = false, adjust = false;
  std::optional<Attended> attended{};
  SupportWeight support = SupportWeight::kLess;
};
/// Error (exit 64) for a word that is no action, no span of the day or no weight.
Result<Actions> read_actions(const ActionWords& words);

/// Looks in the job for the retractions that were planned to be longer, and says what
/// was done. Reads the job only where that was asked for; error as it.
Result<Done> lengthen(const ByteSource& job, const Trace& trace,
                      const std::vector<Dialect>& dialects, Report& report);

/// Plans the wished actions of one tool into the report: edits, what stands against
/// them, and why one could not be done.
void plan_actions(const EditInput& in, const Actions& actions, const Policy& policy,
                  const LocalZone& zone, Report& report);

}  // namespace drydepth
