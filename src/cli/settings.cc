#include "cli/settings.h"

#include <algorithm>

#include "base/exit_code.h"
#include "cli/kept_fit.h"
#include "cli/places.h"
#include "rules/firmware.h"
#include "rules/rule_text.h"
#include "spool/checks.h"
#include "spool/lot.h"
#include "spool/quantity.h"
#include "spool/shelf.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

// How far a live dryer stays under the lowest ceiling: a set temperature is not the
// hottest spot (common practice, no source).
constexpr double kDryerMarginK = 10;

Error at_option(const std::string& option, Error error) {
  error.where = option;
  error.exit_code = kExitUsage;
  return error;
}

}  // namespace

void add_shelf_options(CLI::App& command, SharedWords& words) {
  command.add_option("--shelf", words.shelf, "Folder of spool records")
      ->envname("DRYDEPTH_SHELF")
      ->type_name("DIR");
  command.add_option("--rules", words.rules, "Folder that overlays the rule files")
      ->envname("DRYDEPTH_RULES")
      ->type_name("DIR");
}

void add_model_options(CLI::App& command, SharedWords& words) {
  command
      .add_option("--at", words.at,
                  "Moment of the job's start or of the estimate: now, 22:00, tomorrow "
                  "08:00, 2026-03-06T06:30:00Z")
      ->type_name("TIME");
  command.add_option("--room", words.room, "Room air, where nothing else is known")
      ->default_str("23C/45%")
      ->envname("DRYDEPTH_ROOM")
      ->type_name("AIR");
  command
      .add_option("--limit", words.limit, "Which limit decides: cosmetic or strength")
      ->default_str("cosmetic")
      ->envname("DRYDEPTH_LIMIT")
      ->type_name("WORD");
  command.add_option("--members", words.members, "Ensemble members (32 to 4096)")
      ->capture_default_str()
      ->check(CLI::Range(32, 4096))
      ->type_name("N");
  command.add_option("--seed", words.seed, "Seed of the ensemble")
      ->capture_default_str()
      ->type_name("N");
  command.add_option("--threads", words.threads, "Threads; 0 takes all cores")
      ->capture_default_str()
      ->type_name("N");
  command
      .add_option(
          "--without", words.without,
          "Leave the weighing, piece, coupon or purge of this moment out of the fit, "
          "as the record writes it; may be "
          "repeated")
      ->type_name("TIME")
      ->allow_extra_args(false);
  command.add_flag("--fresh", words.fresh,
                   "Fit anew, without the estimate kept before");
  command.add_flag("--nominal", words.nominal, "One run at central values, no ranges");
  command.add_flag("--json", words.json, "Print the result as JSON");
}

void add_feed_options(CLI::App& command, SharedWords& words) {
  command
      .add_option("--feed", words.feed,
                  "How the spool stands while printing: open, dry-box or live-dryer")
      ->default_str("open")
      ->envname("DRYDEPTH_FEED")
      ->type_name("WORD");
  command.add_option("--box", words.box, "Air in the dry box")
      ->default_str("25C/15%")
      ->envname("DRYDEPTH_BOX")
      ->type_name("AIR");
  command
      .add_option(
          "--dryer", words.dryer,
          "Temperature of the live dryer; default 10 C under the lowest limit of "
          "polymer and spool body")
      ->envname("DRYDEPTH_DRYER")
      ->type_name("TEMP");
}

Result<Rules> load_rules(const SharedWords& words) {
  std::vector<RuleText> overlay;
  if (!words.rules.empty()) {
    auto read = read_overlay(words.rules);
    if (!read) return read.error();
    overlay = *std::move(read);
  }
  auto materials = load_materials(overlay);
  if (!materials) return materials.error();
  auto bodies = load_bodies(overlay);
  if (!bodies) return bodies.error();
  auto dialects = load_firmwares(overlay);
  if (!dialects) return dialects.error();
  auto evidence = load_evidence_rules(overlay);
  if (!evidence) return evidence.error();
  auto policy = load_policy(overlay);
  if (!policy) return policy.error();
  return Rules{*std::move(materials), *std::move(bodies), *std::move(dialects),
               *std::move(evidence), *std::move(policy)};
}

std::filesystem::path shelf_folder(const SharedWords& words, const World& world) {
  if (!words.shelf.empty()) return words.shelf;
  const std::string data = environment(world, "XDG_DATA_HOME");
  if (!data.empty()) return std::filesystem::path(data) / "drydepth" / "shelf";
  const std::string home = environment(world, "HOME");
  return std::filesystem::path(home.empty() ? "." : home) / ".local" / "share" /
         "drydepth" / "shelf";
}

Result<Settings> understand(const SharedWords& words, const World& world) {
  Settings out;
  out.shelf = shelf_folder(words, world);
  auto config = load_config(world);
  if (!config) return config.error();
  out.config = *std::move(config);
  const Origin room_word = settle("room", words.room, out.config);
  const auto room = parse_air(room_word.value);
  if (!room) return at_option(room_word.place, room.error());
  out.room = *room;
  const Origin box_word = settle("box", words.box, out.config);
  const auto box = parse_air(box_word.value);
  if (!box) return at_option(box_word.place, box.error());
  out.box = *box;
  const Origin dryer_word = settle("dryer", words.dryer, out.config);
  if (!dryer_word.value.empty()) {
    const auto dryer = parse_temperature_k(dryer_word.value);
    if (!dryer) return at_option(dryer_word.place, dryer.error());
    out.dryer_k = *dryer;
  }
  out.at = world.now;
  if (!words.at.empty()) {
    const auto at = parse_moment(words.at, world.now, world.zone, Lean::kAhead);
    if (!at) return at_option("--at", at.error());
    out.at = *at;
  }
  for (const std::string& word : words.without) {
    const auto at = parse_moment(word, world.now, world.zone, Lean::kPast);
    if (!at) return at_option("--without", at.error());
    out.without.push_back(*at);
  }
  const Origin feed_word = settle("feed", words.feed, out.config);
  const auto feed = parse_feed(feed_word.value);
  if (!feed) return at_option(feed_word.place, feed.error());
  out.feed = *feed;
  out.feed_typed = !words.feed.empty();
  const Origin limit_word = settle("limit", words.limit, out.config);
  if (limit_word.value == "strength") {
    out.decides = LimitKind::kStrength;
  } else if (limit_word.value != "cosmetic") {
    return Error{limit_word.place, "\"" + limit_word.value + "\" is no limit",
                 "write cosmetic or strength", kExitUsage};
  }
  out.nominal = words.nominal;
  return out;
}

namespace {

// The bodies of a record by their rules: the first, those of its respools, and the one
// it is on at a moment.
struct Bodies {
  Body first, now;
  std::vector<Body> later;
};

Result<Bodies> find_bodies(const std::vector<Body>& rules, const SpoolRecord& record,
                           Instant at) {
  Bodies out;
  const auto first = find_body(rules, record.body.kind, record.file + " /body/kind");
  if (!first) return first.error();
  out.first = out.now = *first;
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const auto* respool = std::get_if<Respool>(&record.events[i]);
    if (respool == nullptr) continue;
    const auto body =
        find_body(rules, respool->body.kind,
                  record.file + " /events/" + std::to_string(i) + "/body/kind");
    if (!body) return body.error();
    out.later.push_back(*body);
    if (respool->at <= at) out.now = *body;
  }
  return out;
}

}  // namespace

Result<LoadedSpool> load_spool(const std::string& word, const Settings& settings,
                               const Rules& rules) {
  const auto path = find_spool(settings.shelf, word);
  if (!path) return path.error();
  auto read = load_spool(*path);
  if (!read) return read.error();
  return lay_out_spool(*std::move(read), *path, settings, rules);
}

Result<LoadedSpool> lay_out_spool(SpoolRecord read, const std::filesystem::path& path,
                                  const Settings& settings, const Rules& rules) {
  auto record = read_air_logs(std::move(read), path);
  if (!record) return record.error();
  auto material =
      find_material(rules.materials, record->material, record->file + " /material");
  if (!material) return material.error();
  *material = of_lot(*record, *material);
  auto bodies = find_bodies(rules.bodies, *record, settings.at);
  if (!bodies) return bodies.error();
  const auto masses = check_masses(*record, *material);
  if (!masses) return masses.error();
  const auto wound = check_respools(*record, *material);
  if (!wound) return wound.error();
  const auto layers = check_layers(*record, *material);
  if (!layers) return layers.error();
  auto timeline = make_timeline(*record, settings.at, settings.room);
  if (!timeline) return timeline.error();
  timeline->evidence =
      outer_evidence(*record, *material, rules.evidence, settings.room, settings.at);
  for (const Instant at : settings.without) {
    std::size_t gone = std::erase_if(timeline->readings,
                                     [&](const ScaleReading& r) { return r.at == at; });
    for (OuterEvidence& e : timeline->evidence) {
      if (e.at != at) continue;
      e = unlearned({e}).front();
      ++gone;
    }
    if (gone == 0) {
      return Error{"--without",
                   "no weighing, piece, coupon or purge at " + format_instant(at),
                   "write its time as the record has it", kExitUsage};
    }
  }

  LoadedSpool out{.path = path,
                  .contest = {.record = *std::move(record),
                              .material = *material,
                              .timeline = *std::move(timeline),
                              .limits = limits_of(*material),
                              .room = settings.room},
                  .body = bodies->now,
                  .notes = {}};
  out.contest.priors =
      spool_priors(out.contest.record, *material, bodies->first, bodies->later);
  for (Span& span : out.contest.timeline.spans) {
    // A print whose air nobody logged stood in its feed's usual air.
    if (span.kind != SpanKind::kPrint || !span.room_assumed) continue;
    for (const FeedAir& feed : feed_airs(settings, out)) {
      if (feed.feed == span.feed) span.air = feed.air;
    }
  }
  out.notes = out.contest.priors.notes;
  for (const std::string& note : timeline_notes(out.contest.timeline)) {
    out.notes.push_back(note);
  }
  return out;
}

SpoolFit fit_members(const SharedWords& words, const LoadedSpool& spool,
                     const World& world, Tally* tally) {
  if (words.nominal) return SpoolFit{.members = nominal_member()};
  const Contest& c = spool.contest;
  const PosteriorOptions options{.members = words.members,
                                 .seed = words.seed,
                                 .threads = words.threads,
                                 .tally = tally};
  if (!anything_to_fit(c.timeline)) {
    return fit_spool(c.record, c.material, c.priors, c.timeline, options);
  }
  const FitKey key = fit_key(c, options, world.version);
  if (!words.fresh) {
    if (auto kept = read_kept_fit(spool.path, key, c.timeline.evidence))
      return *std::move(kept);
  }
  if (words.kept_only) return {};
  expect(tally, fit_steps(c.timeline, options));
  SpoolFit fit = fit_spool(c.record, c.material, c.priors, c.timeline, options);
  keep_fit(spool.path, key, fit);
  return fit;
}

double drying_ceiling_k(const LoadedSpool& spool) {
  const double lowest_c = std::min(spool.body.heat_ceiling_c.value,
                                   spool.contest.material.drying_max_c.value);
  return to_kelvin(Celsius{lowest_c}).value;
}

std::vector<FeedAir> feed_airs(const Settings& settings, const LoadedSpool& spool) {
  const HeaterAir dryer{.temperature_k = settings.dryer_k.value_or(
                            drying_ceiling_k(spool) - kDryerMarginK),
                        .room = settings.room,
                        .exchange_m3_s = {},
                        .chamber_m3 = {}};
  return {{Feed::kOpen, settings.room},
          {Feed::kDryBox, settings.box},
          {Feed::kLiveDryer, dryer}};
}

int complain(const World& world, const Error& error) {
  world.talk << "drydepth: " << error.text() << "\n";
  return error.exit_code;
}

}  // namespace drydepth
