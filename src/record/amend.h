#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "record/record.h"

namespace drydepth {

/// The record with one more event, in its place by time. An interval ends the one that
/// is still running (which says so: "ended_by"). Error when it overlaps another or
/// cannot be.
Result<SpoolRecord> append_event(const SpoolRecord& record, const Event& event);

/// The record with its last interval ended, be it open or planned to run longer; an end
/// that was planned goes to the record's history with the moment of the change. Grams
/// of a print stay as logged. Error when nothing runs then.
Result<SpoolRecord> stop(const SpoolRecord& record, Instant at, Instant now);

/// The record without an event (as counted in its "events", from 0; nothing: the last
/// one), which goes to the record's history with the moment of the change. What the
/// event had ended runs on. Each entry of the history has "at", "did" (removed, end
/// moved) and the event as it was. Error when there is no such event.
Result<SpoolRecord> remove_event(const SpoolRecord& record,
                                 std::optional<std::size_t> index, Instant now);

}  // namespace drydepth
