#include "app/shelf/fit_key.h"

#include "base/digests.h"
#include "base/json_value.h"
#include "base/numbers.h"
#include "spool/fit/fit.h"

namespace drydepth {
namespace {

// The timeline has no text that it was read from: it follows from the record, from logs
// and from what was taken for granted. So it is written out here, each struct taken
// apart by name: with one more member this does not compile.
class Written {
 public:
  void add(const std::string& word) { text_ += word + "\n"; }
  void add(double number) { add(format_shortest(number)); }
  void add(bool flag) { add(std::string(flag ? "yes" : "no")); }
  void add(std::size_t count) { add(std::to_string(count)); }
  void add(Instant at) { add(format_instant(at)); }
  void add(SpanKind kind) { add(std::string(kind_name(kind))); }
  void add(FindingKind kind) { add(std::string(kind_name(kind))); }
  void add(Feed feed) { add(std::string(feed_name(feed))); }

  template <class T>
  void add(const std::optional<T>& value) {
    add(value.has_value());
    if (value) add(*value);
  }
  template <class T>
  void add(const std::vector<T>& list) {
    add(list.size());
    for (const T& item : list) add(item);
  }

  void add(const StatedAir& air) {
    const auto& [temperature_k, activity] = air;
    add_all(temperature_k, activity);
  }
  void add(const HeaterAir& air) {
    const auto& [temperature_k, room, exchange_m3_s, chamber_m3, set_k] = air;
    (void)set_k;  // changes nothing
    add_all(temperature_k, room, exchange_m3_s, chamber_m3);
  }
  void add(const AirLog& air) {
    const auto& [path, room, floor] = air;
    add_all(path, room, floor);
  }
  void add(const AirSpec& air) {
    add(air.index());
    std::visit([this](const auto& one) { add(one); }, air);
  }
  void add(const Span& span) {
    const auto& [from, to, kind, air, air_end, used_kg, used_sd_kg, feed, assumed,
                 room_assumed, event, respool] = span;
    (void)assumed;  // said in a note
    (void)room_assumed;
    add_all(from, to, kind, air, air_end, used_kg, used_sd_kg, feed, event, respool);
  }
  void add(const ScaleReading& reading) {
    const auto& [at, gross_kg, scale_sd_kg, hot, event] = reading;
    add_all(at, gross_kg, scale_sd_kg, hot, event);
  }
  void add(const PieceDatum& piece) {
    const auto& [loss, sd, dried_k, dried_assumed, room, left_share] = piece;
    (void)dried_assumed;  // said in a sentence
    add_all(loss, sd, dried_k, room, left_share);
  }
  void add(const Sign& sign) {
    const auto& [noted, seen, turning, spread_log, share_above, share_below, weight] =
        sign;
    add_all(noted, seen, turning, spread_log, share_above, share_below, weight);
  }
  void add(const OuterEvidence& found) {
    const auto& [kind, at, event, mass_kg, used_kg, piece, signs] = found;
    add_all(kind, at, event, mass_kg, used_kg, piece, signs);
  }
  void add(const Timeline& timeline) {
    const auto& [from, to, spans, readings, evidence, notes] = timeline;
    (void)notes;
    add_all(from, to, spans, readings, evidence);
  }

  const std::string& text() const { return text_; }

 private:
  template <class... T>
  void add_all(const T&... members) {
    (add(members), ...);
  }

  std::string text_;
};

Instant moment(const Json& event, const char* key) {
  const auto at = parse_instant(event.value(key, ""));
  return at ? *at : Instant::max();
}

// The record as written, but for what the fit cannot know of: what was taken out, what
// happened after the last thing learned, and when that ended what was running then. The
// end of a print counts: it sets the rate.
std::string written_until(const SpoolRecord& record, Instant last) {
  auto json = parse_json(record.text, record.file);
  if (!json || !json->is_object()) return record.text;
  json->erase("history");
  Json events = Json::array();
  for (Json event : (*json)["events"]) {
    const bool is_span = event.contains("from");
    if (is_span ? moment(event, "from") >= last : moment(event, "at") > last) continue;
    if (event.value("type", "") != "print" && moment(event, "to") > last) {
      event.erase("to");
      event.erase("ended_by");
    }
    events.push_back(std::move(event));
  }
  (*json)["events"] = std::move(events);
  return json->dump();
}

}  // namespace

std::string fit_key(const Spool& spool, const PosteriorOptions& options,
                    const std::string& version) {
  Written out;
  out.add(version);
  out.add(options.members);
  out.add(std::size_t{options.seed});
  out.add(spool.rules_text);
  const auto last = last_learned(spool.timeline);
  out.add(last ? written_until(spool.record, *last) : spool.record.text);
  out.add(last ? known_part(spool.timeline) : spool.timeline);
  return sha256_hex(out.text());
}

}  // namespace drydepth
