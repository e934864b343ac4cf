#pragma once

#include <optional>

#include "guard/actions/edit_place.h"

namespace drydepth {

/// A short line for the printer's display before filament above the limit may reach the
/// nozzle, ahead of the early (p10) crossing, with the time and grams until there as
/// far as the display has room. Nothing where no such share crosses, where the firmware
/// has no message, or where no layer start is fit for one.
std::optional<PlannedEdit> plan_message(const EditInput& in);

}  // namespace drydepth
