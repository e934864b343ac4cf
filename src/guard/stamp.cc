#include "guard/stamp.h"

#include <cassert>

#include "base/digests.h"
#include "base/json_reader.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "base/numbers.h"
#include "record/event_reader.h"
#include "record/event_writer.h"

namespace drydepth {
namespace {

constexpr std::string_view kLead = ";drydepth:stamp ";
constexpr std::size_t kPiece = 60;  // lead and piece stay below 80 bytes

// Half of it tells records apart as well, and fits on a line.
std::string short_digest(std::string_view text) {
  return sha256_hex(text).substr(0, 16);
}

// Sorted keys, so that a record written anew by another program is still the same.
std::string sorted_text(const Json& json) {
  return nlohmann::json::parse(json.dump()).dump();
}

std::string logged_text(const SpoolRecord& record) {
  std::string out;
  for (const auto& [event, series] : record.air_logs) {
    out += std::to_string(event) + "\n";
    for (const AirReading& r : series.readings) {
      out += format_instant(r.at) + " " + format_shortest(r.temperature_k) + " " +
             format_shortest(r.activity.value_or(-1)) + "\n";
    }
  }
  return out;
}

Json spool_json(const SpoolStamp& s) {
  Json counts = Json::array();
  for (const std::size_t n : s.digest.counts) counts.push_back(n);
  return {{"tool", s.tool},          {"id", s.id},
          {"about", s.digest.about}, {"events", s.digest.events},
          {"counts", counts},        {"rules", s.digest.rules},
          {"verdict", s.verdict},    {"print", event_json(s.print)}};
}

SpoolStamp read_spool(JsonReader in) {
  SpoolStamp out;
  const auto text = [&](const char* key) { return in.text(key, "a word", "K-07"); };
  out.tool = static_cast<int>(in.number("tool", {.max = 255, .example = "0"}));
  out.id = text("id");
  out.digest.about = text("about");
  out.digest.events = text("events");
  out.digest.rules = text("rules");
  out.verdict = text("verdict");
  const Json counts = in.json().value("counts", Json::array());
  for (std::size_t k = 0; k < out.digest.counts.size(); ++k) {
    if (k < counts.size() && counts[k].is_number_unsigned()) {
      out.digest.counts[k] = counts[k].get<std::size_t>();
    }
  }
  JsonReader print = in.object("print");
  const Event event = read_event(print);
  const auto* interval = std::get_if<Interval>(&event);
  if (interval == nullptr || interval->kind != SpanKind::kPrint) {
    print.fail("type", "this is no print", "guard the job again");
  } else {
    out.print = *interval;
  }
  out.print.used_sd_kg = 0;  // the record's default stands
  return out;
}

// "2 weighings added, 1 print taken out"; empty where the counts agree.
std::vector<std::string> count_changes(const EventCounts& then,
                                       const EventCounts& now) {
  std::vector<std::string> out;
  for (std::size_t k = 0; k < then.size(); ++k) {
    if (then[k] == now[k]) continue;
    const bool more = now[k] > then[k];
    const std::size_t n = more ? now[k] - then[k] : then[k] - now[k];
    const std::string plural = n == 1 ? "" : "s";
    out.push_back(std::to_string(n) + " " + std::string(kEventKinds[k]) + plural +
                  (more ? " added" : " taken out"));
  }
  return out;
}

// A later version may write its stamp in another form; it still says who wrote it.
std::optional<Error> other_form(const Json& json, const std::string& where) {
  constexpr int kForm = 1;
  const auto form = json.find("stamp");
  if (form == json.end() || !form->is_number_integer() || *form == kForm) {
    return std::nullopt;
  }
  const auto version = json.find("version");
  const bool named = version != json.end() && version->is_string();
  return Error{where,
               "the stamp is of form " + form->dump() + ", written by drydepth " +
                   (named ? version->get<std::string>() : "of an unknown version") +
                   ", and this one reads form 1",
               "use that version, or guard the job again with this one"};
}

}  // namespace

EventCounts count_events(const SpoolRecord& record) {
  EventCounts out{};
  for (const Event& event : record.events) {
    std::string_view kind = kEventKinds[0];
    if (const auto* interval = std::get_if<Interval>(&event)) {
      kind = kind_name(interval->kind);
    }
    for (std::size_t k = 0; k < out.size(); ++k) out[k] += kEventKinds[k] == kind;
  }
  return out;
}

SpoolDigest digest_spool(const SpoolRecord& record, std::string_view rules) {
  SpoolDigest out{.counts = count_events(record), .rules = short_digest(rules)};
  auto json = parse_json(record.text, record.file);
  assert(json.has_value());  // the record was read from it
  const Json events = json->value("events", Json::array());
  json->erase("events");
  json->erase("history");
  out.about = short_digest(sorted_text(*json));
  out.events = short_digest(sorted_text(events) + logged_text(record));
  return out;
}

std::vector<std::string> stamp_lines(const Stamp& stamp) {
  Json json{{"stamp", 1},
            {"version", stamp.version},
            {"at", format_instant(stamp.at)},
            {"until", format_instant(stamp.until)},
            {"sha256", stamp.job.sha256},
            {"bytes", stamp.job.bytes},
            {"edits", stamp.edits},
            {"firmware", stamp.firmware},
            {"spools", Json::array()}};
  for (const SpoolStamp& s : stamp.spools) json["spools"].push_back(spool_json(s));
  std::string text;
  for (const char c : json.dump(-1, ' ', true, Json::error_handler_t::replace)) {
    // A slicer would take "; key = value" for a setting.
    text += c == '=' ? std::string("\\u003d") : std::string(1, c);
  }
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size(); at += kPiece) {
    out.push_back(std::string(kLead) + text.substr(at, kPiece));
  }
  return out;
}

Result<std::optional<Stamp>> read_stamp(const std::vector<Block>& blocks,
                                        const std::string& job_name) {
  std::string text;
  std::uint64_t line = 0;
  for (const Block& block : blocks) {
    for (const std::string& content : block.lines) {
      if (block.action != "note" || !content.starts_with(kLead)) continue;
      if (text.empty()) line = block.line;
      text += content.substr(kLead.size());
    }
  }
  if (text.empty()) return std::optional<Stamp>();
  const std::string where = job_name + ":" + std::to_string(line);
  const Error broken{where, "the stamp of this drydepth block cannot be read",
                     "guard the job again, with one version of drydepth"};
  const auto json = parse_json(text, where);
  if (!json || !json->is_object()) return broken;
  if (const auto newer = other_form(*json, where)) return *newer;
  JsonErrors errors{where, {}};
  JsonReader in(*json, errors);
  Stamp out;
  in.number("stamp", {.min = 1, .max = 1, .example = "1"});
  out.version = in.text("version", "a version", "0.1.0");
  out.at = read_instant(in, "at");
  out.until = read_instant(in, "until");
  out.job.sha256 = in.text("sha256", "a digest", "e3b0");
  out.job.bytes =
      static_cast<std::uint64_t>(in.number("bytes", {.max = 1e15, .example = "9"}));
  out.edits = in.text("edits", "a digest", "e3b0");
  out.firmware = in.text("firmware", "an id", "marlin");
  for (JsonReader& spool : in.objects("spools")) {
    out.spools.push_back(read_spool(spool));
  }
  if (errors.first) return broken;
  return std::optional<Stamp>(std::move(out));
}

std::string print_name(const Stamp& stamp) {
  return stamp.job.sha256.substr(0, 16) + " " + format_instant(stamp.at);
}

bool counts_print(const SpoolRecord& record, const std::string& name) {
  for (const Event& event : record.events) {
    const auto* interval = std::get_if<Interval>(&event);
    if (interval != nullptr && interval->stamp == name) return true;
  }
  return false;
}

std::vector<std::string> changes_since(const SpoolStamp& stamp,
                                       const SpoolDigest& now) {
  const SpoolDigest& then = stamp.digest;
  std::vector<std::string> out = count_changes(then.counts, now.counts);
  if (out.empty() && then.events != now.events) out.push_back("an event was changed");
  if (then.about != now.about)
    out.push_back("its description of the spool was changed");
  if (then.rules != now.rules) out.push_back("the rules for it have changed");
  return out;
}

std::vector<std::string> changes_since(const Stamp& stamp, const JobDigest& job,
                                       const std::vector<Block>& blocks) {
  std::vector<std::string> out;
  if (stamp.job != job) {
    const std::string now = std::to_string(job.bytes);
    out.push_back(stamp.job.bytes == job.bytes
                      ? "its G-code was changed (still " + now + " bytes)"
                      : "its G-code was changed (" + now + " bytes, then " +
                            std::to_string(stamp.job.bytes) + ")");
  }
  if (stamp.edits != digest_edits(edits_of(blocks))) {
    out.push_back("drydepth's blocks in it were moved, taken out or added to");
  }
  return out;
}

std::string time_doubt(const Stamp& stamp, Instant start) {
  if (start < stamp.at) {
    return "it was checked for a start at " + format_instant(stamp.at) +
           ", which lies ahead";
  }
  if (start > stamp.until) {
    return "the time it was checked for ran out at " + format_instant(stamp.until);
  }
  return "";
}

}  // namespace drydepth
