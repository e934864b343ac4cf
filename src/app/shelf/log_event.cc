#include "app/shelf/log_event.h"

#include <algorithm>
#include <cmath>

#include "base/exit_code.h"
#include "base/files.h"
#include "base/shown.h"
#include "record/amend.h"
#include "record/scale_log.h"
#include "record/shelf.h"
#include "record/typed/log_words.h"
#include "record/typed/quantity.h"
#include "report/history.h"
#include "spool/checks.h"
#include "spool/doubts.h"
#include "spool/lot.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

bool has_word(const LogRequest& words, std::initializer_list<const char*> any) {
  return std::any_of(any.begin(), any.end(), [&](const char* word) {
    return std::find(words.words.begin(), words.words.end(), word) != words.words.end();
  });
}

// A dryer set to 82 C that the settings file knows to reach 75 C was at 75 C; the
// record keeps both. Returns what the answer adds.
Result<std::string> correct_dryer(const LogRequest& words, const Caller& caller,
                                  std::vector<Event>& events) {
  if (words.dryer.empty()) return std::string();
  auto* interval = events.empty() ? nullptr : std::get_if<Interval>(&events.front());
  auto* heater = interval != nullptr && interval->kind == SpanKind::kDrying
                     ? std::get_if<HeaterAir>(&*interval->air)
                     : nullptr;
  if (heater == nullptr) {
    return Error{"--dryer", "only a drying with a temperature has a dryer",
                 "write e.g. log SPOOL drying 82C --dryer NAME", kExitUsage};
  }
  const auto config = load_config(caller);
  if (!config) return config.error();
  const double set_c = to_celsius(Kelvin{heater->temperature_k}).value;
  const auto air = dryer_air(*config, words.dryer, set_c);
  if (!air) return air.error();
  heater->set_k = heater->temperature_k;
  // To a tenth: no thermometer in a dryer knows more.
  heater->temperature_k =
      to_kelvin(Celsius{std::round(air->measured_c * 10) / 10}).value;
  std::string out = ", as measured in " + words.dryer.substr(0, words.dryer.find('/'));
  if (!air->position.empty()) out += " at " + air->position;
  if (words.dryer.find('/') == words.dryer.npos && air->positions > 1) {
    out += ", the coldest of " + std::to_string(air->positions) + " places";
  }
  return out;
}

// A log's path as typed holds from where the person stands; the record wants it seen
// from its own folder, or whole where it lies elsewhere.
Result<Done> settle_air_log(const LogRequest& words,
                            const std::filesystem::path& record, Event& event) {
  auto* interval = std::get_if<Interval>(&event);
  auto* log = interval != nullptr && interval->air
                  ? std::get_if<AirLog>(&*interval->air)
                  : nullptr;
  if (log == nullptr) return Done{};
  namespace fs = std::filesystem;
  std::error_code failed;
  const fs::path folder = fs::absolute(fs::canonical(record, failed)).parent_path();
  fs::path file = fs::absolute(log->path);
  if (!fs::exists(file, failed)) file = folder / log->path;
  const auto text = read_whole_file(file);
  if (!text) return text.error();
  const auto series = read_air_log(*text, log->path, *log, interval->from);
  if (!series) return series.error();
  if (!has_word(words, {"since", "from"})) {
    if (series->counted) {
      return Error{"log " + words.words.front(),
                   log->path + " counts its times from a start that nobody states",
                   "add since TIME", kExitUsage};
    }
    interval->from = series->readings.front().at;
  }
  if (!has_word(words, {"until", "to", "for"})) {
    interval->to = series->readings.back().at;
  }
  const fs::path near = file.lexically_normal().lexically_relative(folder);
  const bool inside = !near.empty() && *near.begin() != "..";
  log->path = (inside ? near : file.lexically_normal()).generic_string();
  return Done{};
}

// Asks, refuses or warns; nothing when all is well.
std::optional<Error> settle_doubts(const std::vector<std::string>& odd,
                                   const LogRequest& words, const Doubting& doubting) {
  const std::string where = "log " + words.words.front();
  for (const std::string& doubt : odd) {
    const Error error{where, doubt, "check it; without --strict it is logged"};
    if (words.strict) return error;
    if (!doubting.ask) {
      if (doubting.say) doubting.say(where + ": " + doubt + "; logged as given");
    } else if (!doubting.ask(doubt + "; log it all the same?")) {
      return Error{where, "nothing was logged", "", kExitUsage};
    }
  }
  return std::nullopt;
}

Result<std::vector<Event>> read_events(const LogRequest& words, const Clock& clock) {
  if (words.csv.empty()) {
    auto entry = parse_log(words.words, clock);
    if (!entry) return entry.error();
    if (const auto* event = std::get_if<Event>(&*entry)) {
      return std::vector<Event>{*event};
    }
    return std::vector<Event>{};
  }
  double sd_kg = 0;
  const bool has_scale = words.words.size() == 3 && words.words[1] == "scale";
  if (words.words.front() != "weighing" || (words.words.size() != 1 && !has_scale)) {
    return Error{"--csv", "a file holds weighings and nothing else",
                 "write log SPOOL weighing [scale 0.1g] --csv FILE", kExitUsage};
  }
  if (has_scale) {
    const auto sd = parse_mass_kg(words.words[2]);
    if (!sd) return sd.error();
    sd_kg = *sd;
  }
  const auto text = read_whole_file(words.csv);
  if (!text) return text.error();
  const auto readings = read_scale_log(*text, words.csv, sd_kg);
  if (!readings) return readings.error();
  return std::vector<Event>(readings->begin(), readings->end());
}

Result<SpoolRecord> change(const SpoolRecord& record, const std::vector<Event>& events,
                           Instant stop_at, const Material& material, Instant now) {
  if (events.empty()) return stop(record, stop_at, now);
  Result<SpoolRecord> out(record);
  for (const Event& event : events) {
    out = append_event(*out, event);
    if (!out) return out;
  }
  const auto masses = check_masses(*out, material);
  if (!masses) return masses.error();
  const auto wound = check_respools(*out, material);
  if (!wound) return wound.error();
  return out;
}

std::string logged_text(const std::vector<Event>& events, Instant stop_at,
                        const LocalZone& zone) {
  if (events.empty()) return "stopped at " + format_local(stop_at, zone);
  if (events.size() == 1) return event_text(events.front(), zone);
  return std::to_string(events.size()) + " weighings from " +
         format_local(start_of(events.front()), zone) + " to " +
         format_local(start_of(events.back()), zone);
}

// The material of a record; error for a body of a respool that no rule knows.
Result<Material> check_rules(const SpoolRecord& record,
                             const std::vector<Event>& events, const Rules& rules) {
  for (const Event& event : events) {
    const auto* respool = std::get_if<Respool>(&event);
    if (respool == nullptr) continue;
    const auto body = find_body(rules.bodies, respool->body.kind, "log respool");
    if (!body) return body.error();
  }
  return find_material(rules.materials, record.material, record.file + " /material");
}

}  // namespace

Result<Logged> log_event(const LogRequest& words, const Caller& caller,
                         const Doubting& doubting) {
  const Clock clock{caller.now, caller.zone};
  const auto path = find_spool(shelf_folder(words.shared, caller), words.spool);
  if (!path) return path.error();
  const auto record = load_record(*path);
  if (!record) return record.error();
  auto events = read_events(words, clock);
  if (!events) return events.error();
  const auto corrected = correct_dryer(words, caller, *events);
  if (!corrected) return corrected.error();
  Instant stop_at{};
  if (events->empty()) {
    stop_at = std::get<StopWords>(*parse_log(words.words, clock)).at;
  }
  const auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  const auto material = check_rules(*record, *events, *rules);
  if (!material) return material.error();
  for (Event& event : *events) {
    const auto settled = settle_air_log(words, *path, event);
    if (!settled) return settled.error();
  }
  // What cannot be is refused before anybody is asked about what is odd.
  const auto tried = change(*record, *events, stop_at, *material, caller.now);
  if (!tried) return tried.error();
  if (events->size() == 1) {
    const auto odd = doubts(*record, events->front(), of_lot(*record, *material));
    if (const auto refused = settle_doubts(odd, words, doubting)) return *refused;
  }
  SpoolRecord before;
  const auto saved = update_record(*path, [&](const SpoolRecord& now) {
    before = now;
    return change(now, *events, stop_at, *material, caller.now);
  });
  if (!saved) return saved.error();
  return Logged{{*path, before, *saved},
                shown(saved->id) + ": " + logged_text(*events, stop_at, caller.zone) +
                    *corrected + "\n"};
}

Result<Logged> undo_event(const std::string& spool, std::optional<std::size_t> event,
                          const std::filesystem::path& shelf, const Caller& caller) {
  const auto path = find_spool(shelf, spool);
  if (!path) return path.error();
  std::string gone;
  SpoolRecord before;
  const auto saved = update_record(*path, [&](const SpoolRecord& record) {
    before = record;
    auto after = remove_event(record, event, caller.now);
    if (after) {
      const std::size_t last = record.events.size() - 1;
      gone = event_text(record.events[event.value_or(last)], caller.zone);
    }
    return after;
  });
  if (!saved) return saved.error();
  return Logged{{*path, before, *saved},
                shown(saved->id) + ": taken out: " + gone + "\n"};
}

}  // namespace drydepth
