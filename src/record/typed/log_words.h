#pragma once

#include <span>
#include <string>
#include <variant>

#include "base/result.h"
#include "base/time.h"
#include "record/record.h"

namespace drydepth {

/// Which clock typed times are read by.
struct Clock {
  Instant now;
  LocalZone zone;
};

/// "log SPOOL stop [TIME]".
struct StopWords {
  Instant at;
};
using LogEntry = std::variant<Event, StopWords>;

/// Reads the words behind "log SPOOL":
///   weighing MASS [TIME] [scale MASS]
///   drying TEMPERATURE [room AIR] [exchange FLOW] [chamber VOLUME] [SPAN]
///   storage [AIR] [SPAN]
///   print MASS [feed WORD] [AIR] [job NAME] [SPAN]
///   piece, coupon, purge: see finding_words
///   respool BODY [tare MASS] [hub MM] [width MM] [outer MM] [hub-open] [AIR] [TIME]
///   stop [TIME]
/// AIR is 23C/45% or "log FILE [room AIR] [floor HUMIDITY]", which may also stand for
/// the temperature of a drying; FLOW 0.3m3/h, VOLUME 20l; SPAN is [since TIME] [until
/// TIME | for DURATION], from now on when it does not say. A bare time of day is the
/// latest one past; behind "until" the first after the start. Error names the word.
Result<LogEntry> parse_log(std::span<const std::string> typed, const Clock& clock);

}  // namespace drydepth
