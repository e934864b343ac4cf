#pragma once

#include <string_view>

#include "base/result.h"
#include "base/time.h"
#include "record/air_spec.h"

namespace drydepth {

/// Quantities as people type them, a unit always with the number. Errors have no place;
/// who called knows the option or word.

/// "82C", "180F", "355K": K.
Result<double> parse_temperature_k(std::string_view text);
/// "45%", "45rh": 0..1.
Result<double> parse_activity(std::string_view text);
/// "1211.4g", "1.2kg", "42.7oz", "2.6lb": kg.
Result<double> parse_mass_kg(std::string_view text);
/// "10h", "90min", "1.5h", "1h30min", "2d": above 0.
Result<Seconds> parse_duration(std::string_view text);
/// "23C/45%".
Result<StatedAir> parse_air(std::string_view text);

/// Where a bare time of day lies, seen from now.
enum class Lean { kPast, kAhead };

/// A moment as typed: now, 22:00, yesterday 22:00, tomorrow 08:00, 2026-03-02 21:30
/// (all local), or 2026-03-02T08:00:00Z. A bare time of day is the latest one past, or
/// the next one.
Result<Instant> parse_moment(std::string_view text, Instant now, const LocalZone& zone,
                             Lean lean);

}  // namespace drydepth
