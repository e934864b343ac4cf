#pragma once

#include "base/json_text.h"
#include "record/record.h"

namespace drydepth {

/// The JSON of an event, keys in the order of the format's description. What is not
/// known (a standard deviation of 0, no end, no air) is left out.
Json event_json(const Event& event);

}  // namespace drydepth
