#pragma once

// What guard may do to a job beyond its note.

#include <CLI/App.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/time.h"
#include "guard/edit_place.h"
#include "guard/pause.h"
#include "rules/policy.h"
#include "sheet/report.h"

namespace drydepth {

struct ActionWords {
  std::vector<std::string> actions;  ///< as typed; empty: a message
  std::string attended;
};
void add_action_options(CLI::App& app, ActionWords& words);

struct Actions {
  bool message = true, pause = false, adjust = false;
  std::optional<Attended> attended{};
};
/// Error (exit 64) for a word that is no action or no span of the day.
Result<Actions> read_actions(const ActionWords& words);

/// Plans the wished actions of one tool into the report: edits, what stands against
/// them, and why one could not be done.
void plan_actions(const EditInput& in, const Actions& actions, const Policy& policy,
                  const LocalZone& zone, Report& report);

}  // namespace drydepth
