#include "rules/firmware.h"

#include <catch2/catch.hpp>
#include <set>

#include "gcode/job.h"

using namespace drydepth;

namespace {

const char* const kGood = R"({"format": "drydepth-firmware/1", "id": "own",
 "name": "our own",
 "e_mode": {"value": "set", "source": "s", "status": "documented"},
 "e_axes": {"value": "E", "source": "s", "status": "documented"},
 "g10_sets_tools": {"value": false, "source": "s", "status": "documented"},
 "lower_case": {"value": true, "source": "s", "status": "documented"},
 "bare_g92_zeroes": {"value": false, "source": "s", "status": "documented"},
 "flow_per_tool": {"value": true, "source": "s", "status": "documented"},
 "message": {"before": "M117 ", "max_length": 16, "source": "s", "status": "documented"},
 "pause": {"value": "M0", "source": "s", "status": "documented"},
 "nozzle": {"value": "M104 S", "source": "s", "status": "documented"},
 "obeys_m601": {"value": false, "source": "s", "status": "documented"},
 "signs": [{"key": "gcode_flavor", "pattern": "^own$", "weight": 10}]})";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != text.npos);
  return text.replace(at, from.size(), to);
}

RuleText file(std::string text) {
  return {"firmware/own.json", "own.json", std::move(text)};
}

ScanOptions real_options() {
  ScanOptions options;
  auto dialects = load_firmwares();
  REQUIRE(dialects);
  options.dialects = *dialects;
  return options;
}

}  // namespace

TEST_CASE("a firmware file is read") {
  const auto dialect = parse_firmware(file(kGood));
  REQUIRE(dialect);
  CHECK(dialect->id == "own");
  CHECK(dialect->e_rule == ERule::kSet);
  CHECK(dialect->lower_case);
  CHECK(dialect->message->before == "M117 ");
  CHECK(dialect->message->max_length == 16);
  CHECK(dialect->pause == "M0");
  CHECK(dialect->signs.size() == 1);
}

TEST_CASE("a firmware's limits are read, and wrong ones refused with the place") {
  const std::string limits =
      R"("limits": {"form": "per-minute", "corner": "square",
 "speed_mm_s": {"x": 300, "y": 301, "z": 15, "e": 25}, "print_accel_mm_s2": 3000,
 "square_corner_mm_s": 5, "cruise_ratio": 0.5, "source": "s", "status": "documented"},
 "max_flow": {"value": 2, "source": "s", "status": "documented"}, "signs")";
  const std::string good = replaced(kGood, "\"signs\"", limits);
  const auto dialect = parse_firmware(file(good));
  REQUIRE(dialect);
  CHECK(dialect->limit_form == LimitForm::kPerMinute);
  CHECK(dialect->limits.corner == CornerRule::kSquare);
  CHECK(dialect->limits.speed_mm_s == Axes{300, 301, 15, 25});
  CHECK(dialect->limits.accel_mm_s2 == Axes{});
  CHECK(dialect->limits.print_accel_mm_s2 == 3000);
  CHECK(dialect->limits.cruise_ratio == 0.5);
  CHECK(dialect->max_flow == 2);
  const struct {
    const char* label;
    std::string json;
    const char* start;
  } rows[] = {
      {"form", replaced(good, "per-minute", "per-hour"), "own.json /limits/form: "},
      {"no E", replaced(good, ", \"e\": 25", ""), "own.json /limits/speed_mm_s/e: "},
      {"ratio", replaced(good, "0.5", "1.5"), "own.json /limits/cruise_ratio: "},
      {"no source",
       replaced(good, "\"cruise_ratio\": 0.5, \"source\": \"s\"",
                "\"cruise_ratio\": 0.5"),
       "own.json /limits/source: "},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto wrong = parse_firmware(file(row.json));
    REQUIRE_FALSE(wrong);
    CHECK(wrong.error().text().starts_with(row.start));
  }
}

TEST_CASE("every firmware kept here states limits that lead to a finite time") {
  for (const Dialect& dialect : real_options().dialects) {
    INFO(dialect.id);
    CHECK(dialect.limits.print_accel_mm_s2 > 0);
    CHECK(dialect.limits.travel_accel_mm_s2 > 0);
    const bool corner =
        dialect.limits.corner == CornerRule::kJerk
            ? dialect.limits.jerk_mm_s[0] > 0
            : dialect.limits.deviation_mm > 0 || dialect.limits.square_corner_mm_s > 0;
    CHECK(corner);
  }
}

TEST_CASE("a wrong firmware file is refused with the place") {
  const struct {
    const char* label;
    std::string json;
    const char* start;
  } rows[] = {
      {"word", replaced(kGood, "\"set\"", "\"sets\""), "own.json /e_mode/value: "},
      {"unknown key", replaced(kGood, "\"pause\"", "\"pauses\""), "own.json"},
      {"axes", replaced(kGood, "\"E\"", "\"e\""), "own.json /e_axes/value: "},
      {"no source", replaced(kGood, "\"source\": \"s\", ", ""), "own.json /e_mode"},
      {"pattern", replaced(kGood, "^own$", "(own"),
       "own.json /signs/0/pattern: no regular expression: missing ): (own"},
      {"syntax", replaced(kGood, "{\"format\"", "{format"), "own.json:1:"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto dialect = parse_firmware(file(row.json));
    REQUIRE_FALSE(dialect);
    INFO(dialect.error().text());
    CHECK(dialect.error().text().starts_with(row.start));
    CHECK(dialect.error().exit_code == 65);
  }
}

TEST_CASE("the firmwares built in are there, each once, with one for the unknown") {
  const auto dialects = load_firmwares();
  REQUIRE(dialects);
  std::set<std::string> ids;
  for (const Dialect& dialect : *dialects) ids.insert(dialect.id);
  CHECK(ids == std::set<std::string>{"bambu", "klipper", "mach3", "makerbot", "marlin",
                                     "marlin1", "prusa32", "prusa8", "repetier",
                                     "reprapfirmware", "smoothie", "ultimaker",
                                     "unknown"});
  CHECK(dialects->size() == ids.size());
}

TEST_CASE("an overlay replaces a firmware by its id, or adds one") {
  const auto added = load_firmwares({file(kGood)});
  REQUIRE(added);
  CHECK(find_dialect(*added, "own") != nullptr);
  const auto swapped =
      load_firmwares({file(replaced(kGood, "\"id\": \"own\"", "\"id\": \"klipper\""))});
  REQUIRE(swapped);
  CHECK(find_dialect(*swapped, "klipper")->name == "our own");
}

TEST_CASE("sample jobs are given the firmware they were sliced for") {
  const struct {
    const char* sample;
    const char* id;
    double length_mm;
  } rows[] = {
      {"cura413_cube_makerbot.gcode", "makerbot", 2014.65},
      {"cura413_cube_marlin.gcode", "marlin", 2014.63},
      {"cura413_cube_relE_fwretract_rrf.gcode", "reprapfirmware", 2014.65},
      {"cura413_cube_ultigcode.gcode", "ultimaker", 2012.89},
      {"ps25_cube_mach3_E_is_A.gcode", "mach3", 1491.16},
      {"ps25_cube_marlin2_relE.gcode", "marlin", 1504.89},
      {"ps25_cube_marlin_volumetricE.gcode", "marlin1", 1491.16},
      {"ps25_cube_repetier.gcode", "repetier", 1491.16},
      {"ps25_cube_reprapfw_fwretract_absE.gcode", "reprapfirmware", 1474.64},
      {"ps25_cube_smoothie.gcode", "smoothie", 1491.16},
      {"slic3r13_cube_marlin.gcode", "marlin1", 1829.16},
  };
  const ScanOptions options = real_options();
  for (const auto& row : rows) {
    INFO(row.sample);
    const auto trace = scan(file_source(test::sample_path(row.sample)), options);
    REQUIRE(trace);
    CHECK(trace->firmware == row.id);
    CHECK(trace->tools.front().length_mm == Approx(row.length_mm).margin(0.01));
  }
}

// Smoothieware's Player.cpp: M601 resumes there, M600 suspends. It is the stock pause
// in a job's settings.
TEST_CASE("the stock pause is not used where it resumes") {
  const ScanOptions options = real_options();
  const auto trace =
      scan(file_source(test::sample_path("ps25_cube_smoothie.gcode")), options);
  REQUIRE(trace);
  CHECK(trace->user_pause == "M601");
  const Dialect* smoothie = find_dialect(options.dialects, trace->firmware);
  CHECK(pause_command(*smoothie, trace->user_pause) == "M600");
}

TEST_CASE("printers and macros outweigh the flavour in the settings") {
  const struct {
    const char* comments;
    const char* id;
  } rows[] = {
      {"; gcode_flavor = marlin\n", "marlin1"},
      {"; gcode_flavor = marlin2\n; printer_model = MK4IS\n", "prusa32"},
      {"; gcode_flavor = marlin\n; printer_model = MK3SMMU2S\n", "prusa8"},
      {"; gcode_flavor = marlin\n; printer_model = Bambu Lab X1\n", "bambu"},
      {"; BambuStudio 01.08\n; gcode_flavor = marlin\n", "bambu"},
      {"EXCLUDE_OBJECT_DEFINE NAME=a\n; gcode_flavor = marlin\n", "klipper"},
      {";FLAVOR:Griffin\n", "ultimaker"},
      {";FLAVOR:Something\n", "unknown"},
  };
  const ScanOptions options = real_options();
  for (const auto& row : rows) {
    INFO(row.comments);
    const auto trace =
        test::scan_text(std::string(row.comments) + "M83\nG1 X1 E1 F60\n", options);
    REQUIRE(trace);
    CHECK(trace->firmware == row.id);
  }
}
