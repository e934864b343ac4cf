#include "spool/timeline.h"

#include <algorithm>
#include <string>

namespace drydepth {
namespace {

// After an hour the updraft of a cooling spool is below what a scale shows: design
// value.
constexpr Seconds kCoolDown = std::chrono::hours(1);

struct CompleteAir {
  AirSpec air;
  bool room_assumed = false;
};

CompleteAir complete(const std::optional<AirSpec>& stated, const StatedAir& room) {
  if (!stated) return {room, true};
  const auto* heater = std::get_if<HeaterAir>(&*stated);
  if (heater == nullptr || heater->room) return {*stated, false};
  HeaterAir filled = *heater;
  filled.room = room;
  return {filled, true};
}

// Fills the spans up to `until` with storage no event speaks of.
void fill_gap(Timeline& timeline, Instant until, const StatedAir& room) {
  const Instant from =
      timeline.spans.empty() ? timeline.from : timeline.spans.back().to;
  if (from >= until) return;
  Span gap;
  gap.from = from;
  gap.to = until;
  gap.air = room;
  gap.assumed = true;
  timeline.spans.push_back(gap);
}

// Where the interval at an index ends: as stated, else where the next one starts.
Instant end_of(const SpoolRecord& record, std::size_t index, Instant at) {
  const Interval& interval = std::get<Interval>(record.events[index]);
  if (interval.to) return *interval.to;
  for (std::size_t i = index + 1; i < record.events.size(); ++i) {
    const auto* next = std::get_if<Interval>(&record.events[i]);
    if (next != nullptr) return std::min(next->from, at);
  }
  return at;
}

void add_interval(Timeline& timeline, const SpoolRecord& record, std::size_t index,
                  const StatedAir& room) {
  const Interval& interval = std::get<Interval>(record.events[index]);
  const Instant end = end_of(record, index, timeline.to);
  const Instant cut = std::min(end, timeline.to);
  if (cut <= interval.from) return;
  fill_gap(timeline, interval.from, room);
  const double share =
      seconds_between(interval.from, cut) / seconds_between(interval.from, end);
  const CompleteAir air = complete(interval.air, room);
  timeline.spans.push_back({.from = interval.from,
                            .to = cut,
                            .kind = interval.kind,
                            .air = air.air,
                            .used_kg = share * interval.used_kg,
                            .used_sd_kg = share * interval.used_sd_kg,
                            .feed = interval.feed,
                            .assumed = false,
                            .room_assumed = air.room_assumed,
                            .event = index});
}

bool is_hot(const Timeline& timeline, Instant at) {
  for (const Span& span : timeline.spans) {
    const bool heated =
        span.kind == SpanKind::kDrying ||
        (span.kind == SpanKind::kPrint && span.feed == Feed::kLiveDryer);
    if (heated && at > span.from && at < span.to + kCoolDown) return true;
  }
  return false;
}

Instant begin_of(const SpoolRecord& record, Instant otherwise) {
  if (record.opened.at) return *record.opened.at;
  return record.events.empty() ? otherwise : start_of(record.events.front());
}

}  // namespace

Result<Timeline> make_timeline(const SpoolRecord& record, Instant at,
                               const StatedAir& room) {
  Timeline timeline;
  timeline.from = begin_of(record, at);
  timeline.to = at;
  if (at < timeline.from) {
    return Error{record.file,
                 "the time asked for, " + format_instant(at) +
                     ", lies before the record begins at " +
                     format_instant(timeline.from),
                 "give a later --at"};
  }
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const bool started = start_of(record.events[i]) <= at;
    if (!started) break;  // events are in order
    if (std::holds_alternative<Interval>(record.events[i])) {
      add_interval(timeline, record, i, room);
    }
  }
  fill_gap(timeline, at, room);
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const auto* weighing = std::get_if<Weighing>(&record.events[i]);
    if (weighing == nullptr || weighing->at > at) continue;
    timeline.readings.push_back({.at = weighing->at,
                                 .gross_kg = weighing->gross_kg,
                                 .scale_sd_kg = weighing->scale_sd_kg,
                                 .hot = is_hot(timeline, weighing->at),
                                 .event = i});
  }
  return timeline;
}

}  // namespace drydepth
