#pragma once

#include <string>

#include "gcode/edit/edit.h"
#include "gcode/machine/dialect.h"
#include "guard/race.h"

namespace drydepth {

/// An edit with what it is for.
struct PlannedEdit {
  Edit edit{};
  std::string text{};    ///< what a person sees: the message, or a word on the block
  std::string reason{};  ///< one sentence
};

/// What every action is planned from: one tool's way through the job, on the feed in
/// use.
struct EditInput {
  const Trace& trace;
  const ToolTrace& tool;
  const Dialect& dialect;
  const Spool& spool;
  const FeedRace& race;
  const LimitRace& limit;  ///< the deciding one
  bool many_tools = false;
};

/// The line of the job where the wound layer before the one that holds a crossing
/// begins. Actions go there, since the worst turn of a wound layer is exposed for
/// longer than its mean.
std::uint64_t line_before_crossing(const EditInput& in, double crossing_kg);

/// True where a block may stand at the layer's start.
bool fit_for_block(const Trace& trace, const LayerMark& mark);

/// The last layer start fit for a block at or before a line, else the first one after
/// it; null where there is none.
const LayerMark* last_fit_layer(const Trace& trace, std::uint64_t line);

/// Dry mass of a millimetre of the tool's filament.
double kg_per_mm(const EditInput& in);

/// Dry mass the tool has taken when the job reaches a line, kg.
double mass_at(const EditInput& in, std::uint64_t line);

/// "one wound layer before the early crossing, at 200 g".
std::string before_crossing_text(std::string_view which, double crossing_kg);

}  // namespace drydepth
