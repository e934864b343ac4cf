#pragma once

#include <string>

#include "base/time.h"
#include "record/record.h"

namespace drydepth {

/// One event in one line: "drying 82 C in room air 23 C, 40 % from 2026-03-05 18:00 to
/// 2026-03-06 06:00". Clock times in the given zone.
std::string event_text(const Event& event, const LocalZone& zone);

/// What a record holds: the spool in a few lines, then a line an event.
std::string record_text(const SpoolRecord& record, const LocalZone& zone);

}  // namespace drydepth
