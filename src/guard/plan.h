#pragma once

#include <optional>
#include <string>

#include "gcode/dialect.h"
#include "gcode/edit.h"
#include "guard/race.h"

namespace drydepth {

/// An edit with what it is for.
struct PlannedEdit {
  Edit edit{};
  std::string text;    ///< what a person sees: the message, or a word on the block
  std::string reason;  ///< one sentence
};

/// A short line for the printer's display before filament above the limit may reach the
/// nozzle: at the start of the job's layer that lies at least one wound layer before
/// the early (p10) crossing, since the worst turn of a wound layer is exposed for
/// longer than its mean. Nothing where no such share crosses, where the firmware has no
/// message, or where no layer start is fit for one. `many_tools`: the text then names
/// the tool.
std::optional<PlannedEdit> plan_message(const Trace& trace, const ToolTrace& tool,
                                        const Dialect& dialect, const Contest& contest,
                                        const FeedRace& race, const LimitRace& limit,
                                        bool many_tools);

}  // namespace drydepth
