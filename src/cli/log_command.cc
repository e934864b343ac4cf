// log and undo: what happens to a spool, a line each.
//
// Odd readings are asked about before the record is locked, so that nobody waits for a
// person's answer; the change itself is made to what the record says by then.

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "base/numbers.h"
#include "cli/commands.h"
#include "cli/effect.h"
#include "cli/log_print.h"
#include "cli/settings.h"
#include "sheet/history.h"
#include "spool/amend.h"
#include "spool/checks.h"
#include "spool/doubts.h"
#include "spool/log.h"
#include "spool/lot.h"
#include "spool/quantity.h"
#include "spool/scale_log.h"
#include "spool/shelf.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

struct LogWords {
  SharedWords shared;
  std::string spool, csv, dryer;
  std::vector<std::string> words;
  bool strict = false, quiet = false;
};

struct UndoWords {
  SharedWords shared;
  std::string spool;
  std::optional<std::size_t> event;
  bool quiet = false;
};

bool has_word(const LogWords& words, std::initializer_list<const char*> any) {
  return std::any_of(any.begin(), any.end(), [&](const char* word) {
    return std::find(words.words.begin(), words.words.end(), word) != words.words.end();
  });
}

// A dryer set to 82 C that the settings file knows to reach 75 C was at 75 C; the
// record keeps both. Returns what the answer adds.
Result<std::string> correct_dryer(const LogWords& words, const World& world,
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
  const auto config = load_config(world);
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
Result<Done> settle_air_log(const LogWords& words, const std::filesystem::path& record,
                            Event& event) {
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
                                   const LogWords& words, const World& world) {
  const std::string where = "log " + words.words.front();
  for (const std::string& doubt : odd) {
    const Error error{where, doubt, "check it; without --strict it is logged"};
    if (words.strict) return error;
    if (!world.ask) {
      world.talk << "drydepth: " << where << ": " << doubt << "; logged as given\n";
    } else if (!world.ask(doubt + "; log it all the same?")) {
      return Error{where, "nothing was logged", "", kExitUsage};
    }
  }
  return std::nullopt;
}

Result<std::vector<Event>> read_events(LogWords& words, const World& world) {
  if (words.csv.empty()) {
    auto entry = parse_log(words.words, Clock{world.now, world.zone});
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

Result<std::string> log_event(LogWords words, const World& world) {
  const auto path = find_spool(shelf_folder(words.shared, world), words.spool);
  if (!path) return path.error();
  const auto record = load_spool(*path);
  if (!record) return record.error();
  auto events = read_events(words, world);
  if (!events) return events.error();
  const auto corrected = correct_dryer(words, world, *events);
  if (!corrected) return corrected.error();
  Instant stop_at{};
  if (events->empty()) {
    const auto entry = parse_log(words.words, Clock{world.now, world.zone});
    stop_at = std::get<StopWords>(*entry).at;
  }
  const auto rules = load_rules(words.shared);
  if (!rules) return rules.error();
  auto material =
      find_material(rules->materials, record->material, record->file + " /material");
  if (!material) return material.error();
  for (Event& event : *events) {
    if (const auto* respool = std::get_if<Respool>(&event)) {
      const auto body = find_body(rules->bodies, respool->body.kind, "log respool");
      if (!body) return body.error();
    }
    const auto settled = settle_air_log(words, *path, event);
    if (!settled) return settled.error();
  }
  // What cannot be is refused before anybody is asked about what is odd.
  const auto tried = change(*record, *events, stop_at, *material, world.now);
  if (!tried) return tried.error();
  if (events->size() == 1) {
    const auto odd = doubts(*record, events->front(), of_lot(*record, *material));
    if (const auto refused = settle_doubts(odd, words, world)) return *refused;
  }
  SpoolRecord before;
  const auto saved = update_spool(*path, [&](const SpoolRecord& now) {
    before = now;
    return change(now, *events, stop_at, *material, world.now);
  });
  if (!saved) return saved.error();
  // The event is on the disk: that is said before an estimate that one may not wait
  // for.
  world.out << saved->id << ": " << logged_text(*events, stop_at, world.zone)
            << *corrected << "\n"
            << std::flush;
  return words.quiet ? "" : effect_line(words.shared, {*path, before, *saved}, world);
}

Result<std::string> undo_event(const UndoWords& words, const World& world) {
  const auto path = find_spool(shelf_folder(words.shared, world), words.spool);
  if (!path) return path.error();
  std::string gone;
  SpoolRecord before;
  const auto saved = update_spool(*path, [&](const SpoolRecord& record) {
    before = record;
    auto after = remove_event(record, words.event, world.now);
    if (after) {
      const std::size_t last = record.events.size() - 1;
      gone = event_text(record.events[words.event.value_or(last)], world.zone);
    }
    return after;
  });
  if (!saved) return saved.error();
  world.out << saved->id << ": taken out: " << gone << "\n" << std::flush;
  return words.quiet ? "" : effect_line(words.shared, {*path, before, *saved}, world);
}

void add_effect_options(CLI::App& app, SharedWords& shared, bool& quiet) {
  app.add_option("--at", shared.at,
                 "Moment of the estimate in the answer; default the last one that the "
                 "record speaks of")
      ->type_name("TIME");
  app.add_flag("--quiet", quiet, "No estimate in the answer");
}

// "log print JOB" where "print" stands for no spool: one word follows, and it is none
// of those that begin an event.
bool is_print_of_job(const LogWords& words) {
  return words.spool == "print" && words.words.size() == 1 && words.words[0] != "stop";
}

Result<std::string> log_either(const LogWords& words, const PrintWords& print,
                               const World& world) {
  if (!is_print_of_job(words)) {
    for (const auto& [option, text] :
         {std::pair("--from", print.from),
          {"--to", print.to},
          {"--stopped-at", print.stopped_at},
          {"--spool", print.spools.empty() ? "" : print.spools.front()}}) {
      if (text.empty()) continue;
      return Error{option, "goes with log print JOB only",
                   "write since TIME, until TIME, for 12h", kExitUsage};
    }
    return log_event(words, world);
  }
  PrintWords all = print;
  all.shared = words.shared;
  all.job = words.words[0];
  return log_print(all, world);
}

int answer(const World& world, const Result<std::string>& text) {
  if (!text) return complain(world, text.error());
  world.out << *text;
  return 0;
}

}  // namespace

CommandRun log_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<LogWords>();
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      ->required();
  app.add_option(
         "WORDS", words->words,
         "weighing 1211.4g [TIME] [scale 0.1g] | drying 82C [room AIR] [SPAN] | "
         "storage [AIR] [SPAN] | print 120g [feed WORD] [AIR] [job NAME] [SPAN] | "
         "piece 3.42g 3.35g [scale 1mg] [dried 80C] [TIME] | "
         "coupon 20=20.33 100=99.47 [sd 0.02] [TIME] | "
         "purge [5pops | no pops] [strings | no strings] [of 100mm] [TIME] | "
         "respool BODY [tare MASS] [hub 80mm] [width 55mm] [outer 190mm] [AIR] [TIME] "
         "| "
         "stop [TIME]; AIR: 23C/45% or log FILE; SPAN: since TIME, until TIME, for "
         "12h; or, with print for SPOOL, a guarded JOB that was printed")
      ->required();
  app.add_option("--csv", words->csv, "Weighings of a scale's file, with their times")
      ->type_name("FILE");
  app.add_option("--dryer", words->dryer,
                 "Dryer, or dryer/place in it, whose set temperature the settings file "
                 "corrects")
      ->type_name("DRYER");
  app.add_flag("--strict", words->strict, "Refuse what is odd instead of asking");
  add_effect_options(app, words->shared, words->quiet);
  auto print = std::make_shared<PrintWords>();
  app.add_option(
         "--from", print->from,
         "log print JOB: when the guarded job was started; default the start it "
         "was checked for")
      ->type_name("TIME");
  app.add_option("--to", print->to, "log print JOB: when it ended")->type_name("TIME");
  app.add_option("--stopped-at", print->stopped_at,
                 "log print JOB: where it ended early, L31, 62% of its time, or \"line "
                 "51234\" of the file")
      ->type_name("PLACE");
  app.add_option("--spool", print->spools,
                 "log print JOB: where the record of a tool's spool is now")
      ->type_name("[Tn=]SPOOL")
      ->allow_extra_args(false);
  return [words, print, &world] {
    return answer(world, log_either(*words, *print, world));
  };
}

CommandRun undo_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<UndoWords>();
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      ->required();
  app.add_option("--event", words->event,
                 "Which one, as in /events of the record, from 0; else the last")
      ->type_name("N");
  add_effect_options(app, words->shared, words->quiet);
  return [words, &world] { return answer(world, undo_event(*words, world)); };
}

}  // namespace drydepth
