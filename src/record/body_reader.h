#pragma once

#include "base/json_reader.h"
#include "record/record.h"

namespace drydepth {

/// The "body" of a record or of a respool.
BodyRecord read_body(JsonReader in);

/// A respool, read as one of a record's events.
Respool read_respool(JsonReader& in);

}  // namespace drydepth
