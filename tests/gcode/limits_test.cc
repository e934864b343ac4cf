#include "gcode/machine/limits.h"

#include <catch2/catch.hpp>

#include "gcode/job.h"
#include "gcode/machine/line.h"

using namespace drydepth;

namespace {

MotionLimits after(const char* text, LimitForm form, CornerRule corner) {
  MotionLimits limits;
  limits.corner = corner;
  limits.print_accel_mm_s2 = 1000;
  Command c;
  parse_line(text, c);
  if (c.letter == 0) {
    take_velocity_limit(c.text, limits);
  } else {
    take_limit_command(c, form, limits);
  }
  return limits;
}

}  // namespace

// Units and words: Marlin's and RepRapFirmware's pages on M201 to M205 and M566;
// Klipper's G-Codes.md and Config_Reference.
TEST_CASE("limits are taken from a job in the firmware's units") {
  constexpr auto kSecond = LimitForm::kPerSecond;
  constexpr auto kMinute = LimitForm::kPerMinute;
  constexpr auto kNamed = LimitForm::kNamed;
  constexpr auto kJerk = CornerRule::kJerk;
  constexpr auto kSquare = CornerRule::kSquare;
  const struct {
    const char* line;
    LimitForm form;
    CornerRule corner;
    double value;
    double (*read)(const MotionLimits&);
  } rows[] = {
      {"M201 X9000 E10000", kSecond, kJerk, 9000,
       [](const MotionLimits& l) { return l.accel_mm_s2[0]; }},
      {"M201 X9000 E10000", kSecond, kJerk, 10000,
       [](const MotionLimits& l) { return l.accel_mm_s2[3]; }},
      {"M203 Z12", kSecond, kJerk, 12,
       [](const MotionLimits& l) { return l.speed_mm_s[2]; }},
      {"M203 Z720", kMinute, kJerk, 12,
       [](const MotionLimits& l) { return l.speed_mm_s[2]; }},
      {"M203 Z720", kNamed, kSquare, 0,
       [](const MotionLimits& l) { return l.speed_mm_s[2]; }},
      {"M204 P800 R900 T700", kSecond, kJerk, 800,
       [](const MotionLimits& l) { return l.print_accel_mm_s2; }},
      {"M204 P800 R900 T700", kSecond, kJerk, 900,
       [](const MotionLimits& l) { return l.retract_accel_mm_s2; }},
      {"M204 P800 R900 T700", kSecond, kJerk, 700,
       [](const MotionLimits& l) { return l.travel_accel_mm_s2; }},
      {"M204 S800 T600", kSecond, kJerk, 800,
       [](const MotionLimits& l) { return l.travel_accel_mm_s2; }},
      {"M204 S800 T600", kSecond, kJerk, 600,
       [](const MotionLimits& l) { return l.retract_accel_mm_s2; }},
      {"M204 S0", kSecond, kJerk, 1000,
       [](const MotionLimits& l) { return l.print_accel_mm_s2; }},
      {"M204 P800 T700", kNamed, kSquare, 700,
       [](const MotionLimits& l) { return l.print_accel_mm_s2; }},
      {"M204 P800", kNamed, kSquare, 1000,
       [](const MotionLimits& l) { return l.print_accel_mm_s2; }},
      {"M205 X8 E1.5", kSecond, kJerk, 8,
       [](const MotionLimits& l) { return l.jerk_mm_s[0]; }},
      {"M205 S2 T3", kSecond, kJerk, 2,
       [](const MotionLimits& l) { return l.min_print_mm_s; }},
      {"M205 J0.013", kSecond, kJerk, 0.013,
       [](const MotionLimits& l) { return l.deviation_mm; }},
      {"M205 X0.05", kSecond, CornerRule::kDeviation, 0.05,
       [](const MotionLimits& l) { return l.deviation_mm; }},
      {"M566 X600", kMinute, kJerk, 10,
       [](const MotionLimits& l) { return l.jerk_mm_s[0]; }},
      {"SET_VELOCITY_LIMIT ACCEL=3000 VELOCITY=250", kNamed, kSquare, 3000,
       [](const MotionLimits& l) { return l.travel_accel_mm_s2; }},
      {"SET_VELOCITY_LIMIT ACCEL=3000 VELOCITY=250", kNamed, kSquare, 250,
       [](const MotionLimits& l) { return l.speed_mm_s[1]; }},
      {"SET_VELOCITY_LIMIT SQUARE_CORNER_VELOCITY=8", kNamed, kSquare, 8,
       [](const MotionLimits& l) { return l.square_corner_mm_s; }},
      {"SET_VELOCITY_LIMIT SQUARE_CORNER_VELOCITY=8", kNamed, kSquare, 0,
       [](const MotionLimits& l) { return l.speed_mm_s[0]; }},
      {"SET_VELOCITY_LIMIT MINIMUM_CRUISE_RATIO=0.3", kNamed, kSquare, 0.3,
       [](const MotionLimits& l) { return l.cruise_ratio; }},
      {"SET_VELOCITY_LIMIT ACCEL_TO_DECEL=250", kNamed, kSquare, 0.75,
       [](const MotionLimits& l) { return l.cruise_ratio; }},
  };
  for (const auto& row : rows) {
    INFO(row.line << " " << row.value);
    CHECK(row.read(after(row.line, row.form, row.corner)) == Approx(row.value));
  }
  CHECK(after("M205 J0.013", kSecond, kJerk).corner == CornerRule::kDeviation);
}

TEST_CASE("limits come from the settings, the environment, the job, or the defaults") {
  Dialect machine;
  machine.id = "machine";
  machine.name = "our machine";
  machine.limits.corner = CornerRule::kDeviation;
  machine.limits.travel_accel_mm_s2 = machine.limits.print_accel_mm_s2 = 1000;
  ScanOptions options;
  options.dialects = {machine};
  const std::string move = "M83\nG1 X100 E5 F6000\n";
  const std::string setting = "; machine_max_acceleration_extruding = 2000,500\n";
  ScanOptions environment = options;
  environment.environment["SLIC3R_MACHINE_MAX_ACCELERATION_EXTRUDING"] = "2000,500";
  const struct {
    std::string job;
    ScanOptions options;
    double duration_s;  // v / a + d / v
    const char* source;
    bool guessed;
  } rows[] = {
      {move, options, 1.1, "the defaults kept here for our machine", true},
      {setting + move, options, 1.05,
       "the slicer's settings (machine_max_acceleration_extruding on line 1)", false},
      {move + setting, options, 1.05,
       "the slicer's settings (machine_max_acceleration_extruding on line 3)", false},
      {move, environment, 1.05,
       "the slicer's settings (the slicer's variable "
       "SLIC3R_MACHINE_MAX_ACCELERATION_EXTRUDING)",
       false},
      {"M204 P4000\n" + move, options, 1.025,
       "the job's own M204 over the defaults kept here for our machine", false},
  };
  for (const auto& row : rows) {
    INFO(row.job << row.source);
    const auto trace = test::scan_text(row.job, row.options);
    REQUIRE(trace);
    CHECK(trace->duration_s == Approx(row.duration_s));
    CHECK(trace->duration_source ==
          std::string("the moves, planned with ") + row.source);
    REQUIRE(trace->explained.back().what == "limits");
    CHECK(trace->explained.back().source == row.source);
    CHECK(trace->explained.back().guessed == row.guessed);
  }
}
