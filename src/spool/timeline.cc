#include "spool/timeline.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <string>
#include <utility>

#include "base/numbers.h"
#include "moisture/air.h"

namespace drydepth {
namespace {

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

// Spans of an interval in logged air: one for each straight piece of the log.
Result<Done> add_logged(Timeline& timeline, const SpoolRecord& record, Span whole,
                        const AirLog& log, const StatedAir& room) {
  const auto found = record.air_logs.find(*whole.event);
  const std::string where =
      record.file + " /events/" + std::to_string(*whole.event) + "/air/log";
  if (found == record.air_logs.end()) {
    return Error{where, "the log " + log.path + " was not read", "check the file"};
  }
  const AirSeries& series = found->second;
  const Instant first = series.readings.front().at, last = series.readings.back().at;
  if (last < whole.from || first > whole.to) {
    return Error{where,
                 log.path + " has rows from " + format_instant(first) + " to " +
                     format_instant(last) + ", none of them in this event",
                 "check the times and their zone"};
  }
  whole.room_assumed = !log.room && needs_room(series);
  for (std::string& note : air_log_notes(series, whole.from, whole.to)) {
    timeline.notes.push_back(std::move(note));
  }
  const double length_s = seconds_between(whole.from, whole.to);
  for (const AirPiece& piece :
       pieces(series, whole.from, whole.to, log.room.value_or(room))) {
    const double share = seconds_between(piece.from, piece.to) / length_s;
    Span span = whole;
    span.from = piece.from;
    span.to = piece.to;
    span.air = piece.begin;
    span.air_end = piece.end;
    span.used_kg *= share;
    span.used_sd_kg *= std::sqrt(share);  // so that the variances add up
    timeline.spans.push_back(std::move(span));
  }
  return Done{};
}

Result<Done> add_interval(Timeline& timeline, const SpoolRecord& record,
                          std::size_t index, const StatedAir& room) {
  const Interval& interval = std::get<Interval>(record.events[index]);
  const Instant end = end_of(record, index, timeline.to);
  const Instant cut = std::min(end, timeline.to);
  if (cut <= interval.from) return Done{};
  fill_gap(timeline, interval.from, room);
  const double share =
      seconds_between(interval.from, cut) / seconds_between(interval.from, end);
  const CompleteAir air = complete(interval.air, room);
  Span span{.from = interval.from,
            .to = cut,
            .kind = interval.kind,
            .air = air.air,
            .used_kg = share * interval.used_kg,
            .used_sd_kg = share * interval.used_sd_kg,
            .feed = interval.feed,
            .assumed = false,
            .room_assumed = air.room_assumed,
            .event = index};
  if (const auto* log = std::get_if<AirLog>(&air.air)) {
    const AirLog copy = *log;
    return add_logged(timeline, record, std::move(span), copy, room);
  }
  timeline.spans.push_back(std::move(span));
  return Done{};
}

// Logged air between the ends of its piece, vapour concentration and temperature
// changing evenly.
StatedAir between(const StatedAir& a, const StatedAir& b, double share) {
  const auto air = [](const StatedAir& s) {
    return make_air(to_celsius(Kelvin{s.temperature_k}), Activity{s.activity});
  };
  const Air first = air(a), last = air(b);
  const auto mix = [share](double x, double y) { return x + (y - x) * share; };
  const Air mixed{mix(first.temperature_k, last.temperature_k),
                  mix(first.vapour_kg_m3, last.vapour_kg_m3)};
  return {mixed.temperature_k, std::min(1.0, humidity(mixed).value)};
}

// A span cut in two at a moment within it.
std::array<Span, 2> split(const Span& span, Instant at) {
  const double share =
      seconds_between(span.from, at) / seconds_between(span.from, span.to);
  std::array<Span, 2> out{span, span};
  out[0].to = out[1].from = at;
  out[0].used_kg *= share;
  out[1].used_kg *= 1.0 - share;
  out[0].used_sd_kg *= std::sqrt(share);  // so that the variances add up
  out[1].used_sd_kg *= std::sqrt(1.0 - share);
  const auto* begin = std::get_if<StatedAir>(&span.air);
  if (span.air_end && begin != nullptr) {
    out[0].air_end = between(*begin, *span.air_end, share);
    out[1].air = *out[0].air_end;
  }
  return out;
}

// A respool takes no time, but the span it falls into goes on with another winding.
void add_respool(Timeline& timeline, const SpoolRecord& record, std::size_t index,
                 const StatedAir& room) {
  const Respool& respool = std::get<Respool>(record.events[index]);
  std::vector<Span>& spans = timeline.spans;
  auto place = std::find_if(spans.begin(), spans.end(),
                            [&](const Span& s) { return s.to > respool.at; });
  if (place != spans.end() && place->from < respool.at) {
    const std::array<Span, 2> parts = split(*place, respool.at);
    *place = parts[1];
    place = std::next(spans.insert(place, parts[0]));
  }
  spans.insert(place, Span{.from = respool.at,
                           .to = respool.at,
                           .air = respool.air.value_or(room),
                           .room_assumed = !respool.air,
                           .event = index,
                           .respool = true});
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
      const auto added = add_interval(timeline, record, i, room);
      if (!added) return added.error();
    }
  }
  fill_gap(timeline, at, room);
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const bool respool = std::holds_alternative<Respool>(record.events[i]);
    if (respool && start_of(record.events[i]) <= at) {
      add_respool(timeline, record, i, room);
    }
  }
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

std::optional<Instant> last_learned(const Timeline& timeline) {
  std::optional<Instant> last;
  if (!timeline.readings.empty()) last = timeline.readings.back().at;
  for (const OuterEvidence& e : timeline.evidence) {
    const bool told = e.piece.has_value() || !e.signs.empty();
    if (told && (!last || e.at > *last)) last = e.at;
  }
  return last;
}

std::vector<std::string> timeline_notes(const Timeline& timeline) {
  double assumed_s = 0;
  bool room = false;
  for (const Span& span : timeline.spans) {
    if (span.assumed) assumed_s += seconds_between(span.from, span.to);
    room |= span.room_assumed;
  }
  std::vector<std::string> out;
  if (assumed_s > 0) {
    out.push_back(format_fixed(assumed_s / kSecondsPerHour, 1) +
                  " h that no event covers are taken as storage in room air");
  }
  if (room) out.push_back("an event leaves the air open: room air is taken");
  out.insert(out.end(), timeline.notes.begin(), timeline.notes.end());
  return out;
}

std::size_t bodies_at_end(const Timeline& timeline) {
  return static_cast<std::size_t>(
      std::count_if(timeline.spans.begin(), timeline.spans.end(),
                    [](const Span& span) { return span.respool; }));
}

Timeline known_part(Timeline out) {
  const Instant end = *last_learned(out);
  std::erase_if(out.spans, [&](const Span& s) {
    return s.respool ? s.from > end : s.from >= end;
  });
  std::erase_if(out.evidence, [&](const OuterEvidence& e) { return e.at > end; });
  if (!out.spans.empty() && out.spans.back().to > end) {
    Span& last = out.spans.back();
    const double share =
        seconds_between(last.from, end) / seconds_between(last.from, last.to);
    last.to = end;
    last.used_kg *= share;
    last.used_sd_kg *= std::sqrt(share);
  }
  out.to = end;
  return out;
}

}  // namespace drydepth
