#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/request/progress.h"
#include "app/request/settings.h"
#include "record/record.h"

namespace drydepth {

/// A record before and after something was logged or taken out.
struct RecordChange {
  std::filesystem::path path;
  SpoolRecord before, after;
};

/// What a change did to the estimate, as a line for the answer: mean moisture and dry
/// depth at one moment, by the record as it is now and as it was. The moment is
/// `shared.at`, else the last one that the record after the change speaks of, so that
/// the answer hangs on the record and not on the clock. It never fails: an estimate
/// that cannot be made, or would take long, is said in a clause.
std::string effect_line(SharedWords shared, const RecordChange& change,
                        const Caller& caller, const Progress& progress = {});

/// The last moment that a record speaks of: an event's end, else its start; without
/// events the opening. Nothing where it names no moment at all.
std::optional<Instant> last_moment(const SpoolRecord& record);

}  // namespace drydepth
