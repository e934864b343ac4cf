#include "record/amend.h"

#include <cassert>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <iterator>

#include "base/json_text.h"
#include "base/json_value.h"
#include "base/numbers.h"
#include "record/event_writer.h"

namespace drydepth {
namespace {

Json document(const SpoolRecord& record) {
  Result<Json> json = parse_json(record.text, record.file);
  assert(json.has_value());  // the record was read from it
  return *std::move(json);
}

// The event with another end, which stands right behind its start.
Json with_end(const Json& event, Instant end) {
  Json out = Json::object();
  for (const auto& [key, value] : event.items()) {
    if (key == "to" || key == "ended_by") continue;
    out[key] = value;
    if (key == "from") out["to"] = format_instant(end);
  }
  return out;
}

// Behind everything else that the record holds. The event comes by value: a new key
// moves all members of an ordered object.
void remember(Json& json, const char* did, Json event, Instant now) {
  json["history"].push_back(
      {{"at", format_instant(now)}, {"did", did}, {"event", event}});
}

// The interval that a new one at `start` follows.
std::optional<std::size_t> interval_before(const SpoolRecord& record, Instant start,
                                           std::size_t up_to = SIZE_MAX) {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < record.events.size() && i <= up_to; ++i) {
    const auto* interval = std::get_if<Interval>(&record.events[i]);
    if (interval != nullptr && interval->from <= start) found = i;
  }
  return found;
}

std::size_t place_for(const SpoolRecord& record, Instant start) {
  std::size_t place = 0;
  while (place < record.events.size() && start_of(record.events[place]) <= start) {
    ++place;
  }
  return place;
}

}  // namespace

Result<SpoolRecord> append_event(const SpoolRecord& record, const Event& event) {
  Json json = document(record);
  Json& events = json["events"];
  const Instant start = start_of(event);
  const std::optional<std::size_t> before = std::holds_alternative<Interval>(event)
                                                ? interval_before(record, start)
                                                : std::nullopt;
  if (before) {
    const auto& running = std::get<Interval>(record.events[*before]);
    if (!running.to) {
      events[*before] = with_end(events[*before], start);
      events[*before]["ended_by"] = "the next event";
    }
  }
  const auto place = static_cast<std::ptrdiff_t>(place_for(record, start));
  events.insert(std::next(events.begin(), place), event_json(event));
  return read_record(pretty_json(json), record.file);
}

Result<SpoolRecord> stop(const SpoolRecord& record, Instant at, Instant now) {
  std::optional<std::size_t> last;
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    if (std::holds_alternative<Interval>(record.events[i])) last = i;
  }
  if (!last) {
    return Error{record.file, "nothing is running that could stop",
                 "log what the spool does first, e.g. storage or drying 82C"};
  }
  const Interval& interval = std::get<Interval>(record.events[*last]);
  const std::string name(kind_name(interval.kind));
  if (interval.to && *interval.to <= at) {
    return Error{record.file,
                 "nothing is running that could stop, the last " + name + " ended at " +
                     format_instant(*interval.to),
                 "log what the spool does since then"};
  }
  if (at <= interval.from) {
    return Error{record.file,
                 "a stop at " + format_instant(at) + " comes before the " + name +
                     " starts at " + format_instant(interval.from),
                 "give a later time"};
  }
  Json json = document(record);
  if (interval.to) remember(json, "end moved", json["events"][*last], now);
  json["events"][*last] = with_end(json["events"][*last], at);
  return read_record(pretty_json(json), record.file);
}

Result<SpoolRecord> remove_event(const SpoolRecord& record,
                                 std::optional<std::size_t> index, Instant now) {
  const std::size_t count = record.events.size();
  if (count == 0 || index.value_or(0) >= count) {
    return Error{record.file,
                 count == 0 ? "there is no event to take out"
                            : "there is no event " + std::to_string(*index) +
                                  ", the last one is " + std::to_string(count - 1),
                 count == 0 ? "" : "they count from 0, see show --json"};
  }
  const std::size_t which = index.value_or(count - 1);
  Json json = document(record);
  Json& events = json["events"];
  const Json gone = events[which];
  const auto before =
      which == 0 ? std::nullopt
                 : interval_before(record, start_of(record.events[which]), which - 1);
  const bool is_interval = std::holds_alternative<Interval>(record.events[which]);
  if (is_interval && before && events[*before].contains("ended_by") &&
      std::get<Interval>(record.events[*before]).to == start_of(record.events[which])) {
    events[*before].erase("ended_by");
    events[*before].erase("to");
  }
  events.erase(which);
  remember(json, "removed", gone, now);
  return read_record(pretty_json(json), record.file);
}

}  // namespace drydepth
