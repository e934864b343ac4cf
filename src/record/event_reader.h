#pragma once

#include <string_view>

#include "base/json_reader.h"
#include "record/record.h"

namespace drydepth {

/// A member that is a moment with its zone.
Instant read_instant(JsonReader& in, std::string_view key);

/// Air by temperature and relative humidity.
StatedAir read_stated_air(JsonReader& in);

/// One element of a record's "events".
Event read_event(JsonReader& in);

}  // namespace drydepth
