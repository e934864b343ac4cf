#include "guard/actions/pause.h"

#include <catch2/catch.hpp>

#include "gcode/read/features.h"
#include "guard/dried_spool.h"
#include "rules/firmware.h"

using namespace drydepth;

namespace {

Dialect dialect(std::string_view id) {
  const auto all = load_firmwares();
  REQUIRE(all);
  return *find_dialect(*all, id);
}

PauseWish wish(const char* start = "2026-03-06T06:00:00Z") {
  return {load_policy()->pause, *parse_instant(start), utc_zone(), std::nullopt};
}

FeedRace race_of_45_g_layers() {
  FeedRace race;
  for (int k = 0; k <= 6; ++k) race.nozzle.push_back({.mass_kg = 0.045 * k});
  return race;
}

// A crossing at 220 g: one wound layer before is 135 g, in the fifth job layer of 27 g.
// Layers of 4000 s: large ones.
PausePlan pause_of(const Spool& dried, const Trace& trace, const PauseWish& how,
                   const char* firmware = "klipper",
                   std::optional<double> crossing_kg = 0.220) {
  const FeedRace race = race_of_45_g_layers();
  LimitRace limit;
  limit.crossing_kg[0] = crossing_kg;
  const Dialect words = dialect(firmware);
  return plan_pause({trace, trace.tools[0], words, dried, race, limit, false}, how);
}

PausePlan pause(const Trace& trace, const PauseWish& how,
                const char* firmware = "klipper",
                std::optional<double> crossing_kg = 0.220) {
  static const Spool dried = dried_spool();
  return pause_of(dried, trace, how, firmware, crossing_kg);
}

PauseWish from_the_first_layer() {
  PauseWish out = wish();
  out.policy.clear_layers.value = 1;
  return out;
}

}  // namespace

TEST_CASE("what a comment announces") {
  const struct {
    const char* text;
    std::optional<Feature> feature;
  } rows[] = {{"TYPE:External perimeter", kWall},
              {"TYPE:Internal infill", kInfill},
              {"TYPE:Solid infill", kWall},
              {"TYPE:Top solid infill", kTop},
              {"TYPE:Bridge infill", kBridge},
              {"TYPE:Overhang perimeter", kBridge},
              {"TYPE:Wipe tower", kTower},
              {"TYPE:Gap fill", kWall},
              {"TYPE:FILL", kInfill},
              {"TYPE:SKIN", kTop},
              {"TYPE:PRIME-TOWER", kTower},
              {" FEATURE: Sparse infill", kInfill},
              {" FEATURE: Internal Bridge", kBridge},
              {" feature infill", kInfill},
              {"TYPE:SUPPORT-INTERFACE", kSupport},
              {"LAYER:3", std::nullopt},
              {" TYPE of thing", std::nullopt}};
  for (const auto& row : rows) {
    INFO(row.text);
    CHECK(read_feature(row.text) == row.feature);
  }
}

TEST_CASE("marks of a layer are those of the policy") {
  const PausePolicy p = load_policy()->pause;
  Trace trace = plain_trace(4);
  const auto marks = [&](std::uint8_t below, std::uint8_t here, std::uint8_t first) {
    trace.layers[1].features = below;
    trace.layers[2].features = here;
    trace.layers[2].first_feature = first;
    return pause_marks(trace, 2, p);
  };
  CHECK(marks(kWall, kWall | kInfill, kWall) == 0);
  CHECK(marks(kWall, kWall | kInfill, kInfill) == p.hidden.value);
  CHECK(marks(kWall, kWall | kTower, kTower) == p.hidden.value);
  CHECK(marks(kTop, kWall, kWall) == -p.on_skin.value);
  CHECK(marks(kBridge, kWall, kWall) == -p.on_bridge.value);
  CHECK(marks(kWall, kWall | kBridge | kTop, kInfill) ==
        p.hidden.value - p.on_bridge.value - p.on_skin.value);
  trace.layers[2].time_s = trace.layers[1].time_s + 10;  // the layer below: an island
  CHECK(marks(kWall, kWall, kWall) == -p.on_island.value);
}

TEST_CASE("the last layer start before the crossing where all are alike") {
  const Trace trace = plain_trace(10);
  const PausePlan plan = pause(trace, from_the_first_layer());
  REQUIRE(plan.edit);
  CHECK(plan.edit->edit.action == "pause");
  CHECK(plan.edit->edit.lines == std::vector<std::string>{"PAUSE"});
  CHECK(plan.edit->edit.line == 504);  // the fifth: 108.7 g
  CHECK(plan.after_s == 16'000);
  CHECK(plan.edit->text == "PAUSE at layer 5, about 10:26");
  CHECK(plan.against.starts_with("a layer here takes 67 min, so the part is large"));
}

TEST_CASE("a better layer may lie earlier, hours cost") {
  Trace trace = plain_trace(10);
  PauseWish how = from_the_first_layer();
  trace.layers[3].first_feature = trace.layers[3].features = kInfill;
  CHECK(pause(trace, how).edit->edit.line == 404);  // two marks for 1.1 h
  how.policy.hour_earlier.value = 3;
  CHECK(pause(trace, how).edit->edit.line == 504);
  trace.layers[4].features = kBridge;
  CHECK(pause(trace, how).edit->edit.line == 404);
  trace.layers[3].safe = false;  // the bridge's four marks or 3.3 h
  CHECK(pause(trace, how).edit->edit.line == 504);
  how.policy.hour_earlier.value = 1;
  CHECK(pause(trace, how).edit->edit.line == 304);
}

TEST_CASE("what speaks against a pause goes by the material") {
  const Trace trace = plain_trace(10);
  PauseWish how = from_the_first_layer();
  const auto against = [&](const Material& material, double long_layer_s) {
    how.policy.long_layer_s.value = long_layer_s;
    Spool dried = dried_spool();
    dried.material = material;
    return pause_of(dried, trace, how).against;
  };
  const auto materials = *load_materials();
  const auto named = [&](const char* id) { return *find_material(materials, id, "t"); };
  CHECK(
      against(named("pa6"), 1e6) ==
      "polyamide 6 warps or cracks where bed or chamber cool, so the door stays shut");
  CHECK(against(named("pla"), 1e6).empty());
  CHECK(against(named("pla"), 180).find("may warp") == std::string::npos);
  CHECK(against(named("pa6"), 180).find("may warp") != std::string::npos);
  CHECK(against(named("pa6-cf"), 1e6).find("carry load") != std::string::npos);
  CHECK(against(named("tpu"), 1e6).find("oozes while it stands") != std::string::npos);
}

TEST_CASE("only when somebody is there") {
  const Trace trace = plain_trace(10);  // starts at 06:00, layers of 1 h 07
  PauseWish how = from_the_first_layer();
  how.attended = *parse_attended("07:00-09:00");
  CHECK(pause(trace, how).edit->text == "PAUSE at layer 3, about 08:13");
  how.attended = *parse_attended("22:00-07:10");
  CHECK(pause(trace, how).edit->text == "PAUSE at layer 2, about 07:06");
  how.attended = *parse_attended("12:00-13:00");
  const PausePlan none = pause(trace, how);
  CHECK_FALSE(none.edit);
  CHECK(none.refused ==
        "no fit layer start before the crossing falls into the attended hours");
}

TEST_CASE("what to mind while it stands") {
  const Trace trace = plain_trace(10);
  PauseWish how = from_the_first_layer();
  CHECK(
      pause(trace, how).stands ==
      "somebody must be there at about 10:26 (--attended 07:00-22:00 moves it), with "
      "bed and chamber kept hot and shut as far as can be; after 10 min Klipper turns "
      "heaters and motors off, also while paused, unless it was set otherwise, and "
      "with the motors off the place is lost; SET_IDLE_TIMEOUT TIMEOUT=SECONDS ahead "
      "of it holds longer");
  how.attended = *parse_attended("07:00-11:00");
  CHECK(pause(trace, how, "smoothie").stands ==
        "somebody must come at about 10:26, with bed and chamber kept hot and shut as "
        "far as can be; how long Smoothieware keeps heat and place in a pause is not "
        "established");
  how.policy.hold_h.value = 1.5;
  CHECK(pause(trace, how).edit->edit.lines ==
        std::vector<std::string>{"SET_IDLE_TIMEOUT TIMEOUT=5400", "PAUSE"});
  CHECK(pause(trace, how, "smoothie").edit->edit.lines ==
        std::vector<std::string>{"M600"});
  CHECK(pause(trace, how, "marlin").stands.empty());
}

TEST_CASE("no pause without need, without a command, or in the first layers") {
  const Trace trace = plain_trace(10);
  const PausePlan needless = pause(trace, wish(), "klipper", std::nullopt);
  CHECK_FALSE(needless.edit);
  CHECK(needless.refused.empty());
  CHECK(pause(trace, wish(), "marlin").refused ==
        "no pause command is certain on Marlin 2; give the slicer yours as its pause "
        "G-code, or name the firmware with --firmware");
  for (const bool hours : {false, true}) {  // which are not to blame here
    PauseWish early = wish();
    if (hours) early.attended = parse_attended("07:00-22:00").value();
    CHECK(pause(trace, early, "klipper", 0.060).refused ==
          "no layer start before the crossing is fit to stop at");
  }
}

TEST_CASE("attended hours as typed") {
  for (const char* bad :
       {"7-22", "07:00", "07:00-07:00", "25:00-26:00", "07:00-22:0x"}) {
    INFO(bad);
    const auto read = parse_attended(bad);
    REQUIRE_FALSE(read);
    CHECK(read.error().what == "\"" + std::string(bad) + "\" is no span of the day");
  }
}
