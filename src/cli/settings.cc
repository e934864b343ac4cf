#include "cli/settings.h"

#include <algorithm>

#include "base/exit_code.h"
#include "rules/firmware.h"
#include "rules/rule_text.h"
#include "spool/checks.h"
#include "spool/quantity.h"
#include "spool/shelf.h"

namespace drydepth {
namespace {

// How far a live dryer stays under the lowest ceiling: a set temperature is not the
// hottest spot (common practice, no source).
constexpr double kDryerMarginK = 10;

Error at_option(const char* option, Error error) {
  error.where = option;
  error.exit_code = kExitUsage;
  return error;
}

std::string environment(const World& world, const std::string& name) {
  const auto found = world.environment.find(name);
  return found == world.environment.end() ? "" : found->second;
}

bool knows_anything(const SpoolRecord& record) {
  return record.opened.moisture.has_value() || !record.events.empty();
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
      ->capture_default_str()
      ->envname("DRYDEPTH_ROOM")
      ->type_name("AIR");
  command
      .add_option("--limit", words.limit, "Which limit decides: cosmetic or strength")
      ->capture_default_str()
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
  command.add_flag("--nominal", words.nominal, "One run at central values, no ranges");
  command.add_flag("--json", words.json, "Print the result as JSON");
}

void add_feed_options(CLI::App& command, SharedWords& words) {
  command
      .add_option("--feed", words.feed,
                  "How the spool stands while printing: open, dry-box or live-dryer")
      ->capture_default_str()
      ->envname("DRYDEPTH_FEED")
      ->type_name("WORD");
  command.add_option("--box", words.box, "Air in the dry box")
      ->capture_default_str()
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
  return Rules{*std::move(materials), *std::move(bodies), *std::move(dialects)};
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
  const auto room = parse_air(words.room);
  if (!room) return at_option("--room", room.error());
  out.room = *room;
  const auto box = parse_air(words.box);
  if (!box) return at_option("--box", box.error());
  out.box = *box;
  if (!words.dryer.empty()) {
    const auto dryer = parse_temperature_k(words.dryer);
    if (!dryer) return at_option("--dryer", dryer.error());
    out.dryer_k = *dryer;
  }
  out.at = world.now;
  if (!words.at.empty()) {
    const auto at = parse_moment(words.at, world.now, world.zone, Lean::kAhead);
    if (!at) return at_option("--at", at.error());
    out.at = *at;
  }
  const auto feed = parse_feed(words.feed);
  if (!feed) return at_option("--feed", feed.error());
  out.feed = *feed;
  if (words.limit == "strength") {
    out.decides = LimitKind::kStrength;
  } else if (words.limit != "cosmetic") {
    return Error{"--limit", "\"" + words.limit + "\" is no limit",
                 "write cosmetic or strength", kExitUsage};
  }
  out.nominal = words.nominal;
  return out;
}

std::vector<Member> draw_members(const SharedWords& words, const SpoolPriors& spread) {
  if (words.nominal) return nominal_member();
  return draw_members(spread.spread, words.members, words.seed);
}

Result<LoadedSpool> load_spool(const std::string& word, const Settings& settings,
                               const Rules& rules) {
  const auto path = find_spool(settings.shelf, word);
  if (!path) return path.error();
  auto record = load_spool(*path);
  if (!record) return record.error();
  auto material =
      find_material(rules.materials, record->material, record->file + " /material");
  if (!material) return material.error();
  auto body = find_body(rules.bodies, record->body.kind, record->file + " /body/kind");
  if (!body) return body.error();
  const auto masses = check_masses(*record, *material);
  if (!masses) return masses.error();
  auto timeline = make_timeline(*record, settings.at, settings.room);
  if (!timeline) return timeline.error();

  LoadedSpool out{.contest = {.record = *std::move(record),
                              .material = *material,
                              .timeline = *std::move(timeline),
                              .limits = limits_of(*material),
                              .room = settings.room},
                  .body = *std::move(body),
                  .notes = {}};
  out.contest.priors = spool_priors(out.contest.record, *material);
  out.contest.known = knows_anything(out.contest.record);
  out.notes = out.contest.priors.notes;
  for (const std::string& note : timeline_notes(out.contest.timeline)) {
    out.notes.push_back(note);
  }
  return out;
}

std::vector<FeedAir> feed_airs(const Settings& settings, const LoadedSpool& spool) {
  const double lowest_c = std::min(spool.body.heat_ceiling_c.value,
                                   spool.contest.material.drying_max_c.value);
  const HeaterAir dryer{.temperature_k = settings.dryer_k.value_or(
                            to_kelvin(Celsius{lowest_c}).value - kDryerMarginK),
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
