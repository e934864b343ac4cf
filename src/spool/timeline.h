#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "record/record.h"
#include "spool/evidence.h"

namespace drydepth {

/// What the warm air that rises from a hot spool takes off a reading: its spread, kg
/// (derived); and how long after a drying it does (design value).
inline constexpr double kUpdraftKg = 0.3e-3;
inline constexpr Seconds kCoolDown = std::chrono::hours(1);

/// A stretch of time in one air, with what was printed in it.
struct Span {
  Instant from{};
  Instant to{};
  SpanKind kind = SpanKind::kStorage;
  AirSpec air;  ///< complete: a heater's room is filled in; never a log
  /// Of a piece of a log: the air at its end, temperature and vapour concentration
  /// changing evenly from `air`.
  std::optional<StatedAir> air_end{};
  double used_kg = 0;  ///< taken evenly over the span
  double used_sd_kg = 0;
  Feed feed = Feed::kOpen;
  bool assumed = false;       ///< no event covers it: storage in room air
  bool room_assumed = false;  ///< the event leaves the room (or all the air) open
  std::optional<std::size_t> event{};  ///< index into SpoolRecord::events
  bool respool = false;  ///< no time passes: the event winds the filament over
};

/// A reading of the scale. `scale_sd_kg` is the scale's own; the updraft of a hot spool
/// is not in it.
struct ScaleReading {
  Instant at{};
  double gross_kg = 0;
  double scale_sd_kg = 0;
  bool hot = false;  ///< in a drying span or less than an hour after one
  std::size_t event = 0;
};

/// A spool's life up to a moment: spans without gap or overlap, readings in order. A
/// reading at the moment of a respool comes before or after it by its event.
struct Timeline {
  Instant from{};  ///< opening, else the first event, else `to`
  Instant to{};
  std::vector<Span> spans;
  std::vector<ScaleReading> readings;
  std::vector<OuterEvidence>
      evidence{};  ///< of outer_evidence; make_timeline leaves it empty
  std::vector<std::string> notes{};  ///< on logged air, one sentence each
};

/// Lays a record out up to `at`, which may lie ahead of the clock. What starts later is
/// left out, what is still running is cut (with its share of the grams), and time no
/// event covers is storage in `room`. Error when `at` lies before the record begins, or
/// when a log has nothing to say of its event.
Result<Timeline> make_timeline(const SpoolRecord& record, Instant at,
                               const StatedAir& room);

/// What the timeline took for granted, one sentence each.
std::vector<std::string> timeline_notes(const Timeline& timeline);

/// How many bodies the filament was wound over to.
std::size_t bodies_at_end(const Timeline& timeline);

/// The last moment at which something was learned; nothing where nothing was.
std::optional<Instant> last_learned(const Timeline& timeline);

/// The timeline up to there, where there is such a moment: all that readings and
/// findings can know of.
Timeline known_part(Timeline timeline);

}  // namespace drydepth
