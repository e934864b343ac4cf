#include "gcode/read/scan.h"

#include <catch2/catch.hpp>

#include "gcode/job.h"

using namespace drydepth;
using test::options;
using test::scan_text;

namespace {

double length_of(const Result<Trace>& trace, int tool = 0) {
  if (!trace) return -1;
  for (const ToolTrace& t : trace->tools) {
    if (t.tool == tool) return t.length_mm;
  }
  return 0;
}

}  // namespace

// Where the rules part: [Marlin documentation, G090 and M083], [Klipper gcode_move.py],
// [Prusa-Firmware Marlin_main.cpp].
TEST_CASE("G90 and G91 act on E as the dialect says") {
  const struct {
    const char* label;
    const char* job;
    double marlin_mm, klipper_mm, prusa_mm;
  } rows[] = {
      {"G90 after M83 cancels it, adds to nothing, or leaves it",
       "M83\nG90\nG1 X1 E5 F600\nG1 X2 E5\n", 5, 10, 10},
      {"G91 after M82 makes E relative or not", "M82\nG91\nG1 X1 E5 F600\nG1 X2 E5\n",
       10, 10, 5},
      {"M82 after G91", "G91\nM82\nG1 X1 E5 F600\nG1 X2 E5\n", 5, 10, 5},
      {"park macro: G91, G90 after M83",
       "G90\nM83\nG1 X1 E5 F600\nG91\nG1 Z1\nG90\nG1 X2 E5\n", 5, 10, 10},
      {"the usual start", "G90\nM82\nG1 X1 E5 F600\nG1 X2 E5\nG1 X3 E7\n", 7, 7, 7},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(length_of(scan_text(row.job, options("marlin"))) == Approx(row.marlin_mm));
    CHECK(length_of(scan_text(row.job, options("klipper"))) == Approx(row.klipper_mm));
    CHECK(length_of(scan_text(row.job, options("prusa"))) == Approx(row.prusa_mm));
  }
}

TEST_CASE("commands change the length as the printer's does") {
  const struct {
    const char* label;
    const char* job;
    double length_mm;
  } rows[] = {
      {"absolute", "G1 X1 E2 F60\nG1 X2 E5\n", 5},
      {"retraction is given back", "G1 X1 E5 F60\nG1 E3\nG1 X9\nG1 E5\nG1 X2 E6\n", 6},
      {"G92 re-bases", "G1 X1 E5 F60\nG92 E0\nG1 X2 E5\n", 10},
      {"G92 to a value", "G92 E100\nG1 X1 E105 F60\n", 5},
      {"G92 of other axes leaves E", "G1 X1 E5 F60\nG92 X0\nG1 X2 E6\n", 6},
      {"relative", "M83\nG1 X1 E2 F60\nG1 X2 E3\nG1 E-1\n", 5},
      {"inches", "G20\nM83\nG1 X1 E1 F60\n", 25.4},
      {"flow", "M83\nM221 S95\nG1 X1 E100 F60\n", 95},
      {"flow ends", "M83\nM221 S50\nG1 X1 E10 F60\nM221 S100\nG1 X2 E10\n", 15},
      {"M221 without a number is no flow",
       "M83\nM221 S\nM221 Z0\nM221 X0 Y0 Z0\n"
       "G1 X1 E100 F60\n",
       100},
      {"M200 makes volumes", "M83\nM200 D1.75\nG1 X1 E240.52818754 F60\n", 100},
      {"M200 D0 ends it", "M83\nM200 D1.75\nM200 D0\nG1 X1 E10 F60\n", 10},
      {"M200 S0 and S1",
       "M83\nM200 D1.75 S0\nG1 X1 E10 F60\nM200 S1\n"
       "G1 X2 E24.052818754\n",
       20},
      {"cubic inches", "G20\nM83\nM200 D0.1\nG1 X1 E0.00785398163397448 F60\n", 25.4},
      {"firmware retraction does not count", "M83\nG1 X1 E5 F60\nG10\nG11\nG1 X2 E5\n",
       10},
      {"M208 pushes more at each recovery",
       "M83\nM208 S0.1\nG1 X1 E5 F60\nG10\nG10\n"
       "G11\nG11\nG1 X2 E5\n",
       10.1},
      {"arcs and curves carry E", "M83\nG3 X1 Y1 I1 E2 F60\nG5 X2 Y2 I1 J1 P1 Q1 E3\n",
       5},
      {"no blanks, lower case E digits", "M83\nG1X1Y2E.5F60\nG1X2E+1.5\n", 2},
      {"expressions pass", "M83\nG1 X{a[1]} E2 F60\n  G1 X2 E3\n", 5},
      {"G92.1 is not G92", "G1 X1 E5 F60\nG92.1\nG1 X2 E6\n", 6},
      {"text commands are text", "M83\nM117 G1 X1 E50\nG1 X1 E5 F60\n", 5},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(length_of(scan_text(row.job, options("marlin"))) ==
          Approx(row.length_mm).epsilon(1e-9));
  }
}

TEST_CASE("tools have their own curves") {
  const char* const job =
      "M83\nT0\nG1 X1 E10 F60\nT1\nG1 X2 E20\nT255\nG1 X3 E1\nT1000\nT-1\nT?\nTx\n"
      "M135 T2\nG1 X4 E30\nM108 T0\nG1 X5 E5\nACTIVATE_EXTRUDER EXTRUDER=extruder1\n"
      "G1 X6 E2\nACTIVATE_EXTRUDER EXTRUDER=extruder\nG1 X7 E1\n";
  const auto trace = scan_text(job, options("klipper"));
  REQUIRE(trace);
  REQUIRE(trace->tools.size() == 3);
  CHECK(length_of(trace, 0) == 16);
  CHECK(length_of(trace, 1) == 23);
  CHECK(length_of(trace, 2) == 30);
}

TEST_CASE("a tool that rests takes no filament meanwhile") {
  const char* const job =
      "M83\nT0\nG1 X10 E10 F600\nT1\nG1 X3010 E100\nT0\nG1 X3020 E10\n";
  const auto trace = scan_text(job, options("marlin"));
  REQUIRE(trace);
  const auto& points = trace->tools.front().points;
  REQUIRE(points.size() == 3);
  CHECK(points[1].time_s == Approx(1));
  CHECK(points[1].length_mm == 10);
  CHECK(points[2].time_s == Approx(302));
  CHECK(points[2].length_mm == 20);
}

TEST_CASE("flow belongs to the tool, or to all") {
  const char* const job =
      "M83\nT0\nM221 S50\nG1 X1 E10 F60\nT1\nG1 X2 E10\nM221 S200 T0\nT0\nG1 X3 E10\n";
  const auto own = scan_text(job, options("marlin"));
  CHECK(length_of(own, 0) == 25);
  CHECK(length_of(own, 1) == 10);
  const auto common = scan_text(job, options("klipper"));
  CHECK(length_of(common, 0) == 25);
  CHECK(length_of(common, 1) == 5);
}

TEST_CASE("G92 without words") {
  const char* const job = "G1 X1 E5 F60\nG92\nG1 X2 E6\n";
  CHECK(length_of(scan_text(job, options("marlin"))) == 6);
  CHECK(length_of(scan_text(job, options("klipper"))) == 11);
}

TEST_CASE("commands in lower case where the dialect obeys them") {
  const char* const job = "M83\nG1 X1 E5 F60\ng1 x2 e5\n";
  CHECK(length_of(scan_text(job, options("klipper"))) == 10);
  const auto strict = scan_text(job, options("marlin"));
  CHECK(length_of(strict) == 5);
  REQUIRE(strict);
  CHECK(strict->notes ==
        std::vector<std::string>{"commands in lower case stand once and were passed "
                                 "over, as this firmware does"});
}

TEST_CASE("a firmware named only at the end decides all the same") {
  const std::string job = "M83\nG90\nG1 X1 E5 F600\nG1 X2 E5\n";
  CHECK(length_of(scan_text(job, options())) == 10);
  const auto late = scan_text(job + "; gcode_flavor = marlin2\n", options());
  CHECK(length_of(late) == 5);
  const auto printer =
      scan_text(job + "; gcode_flavor = marlin2\n; printer_model = MK3S\n", options());
  CHECK(length_of(printer) == 10);
  REQUIRE(printer);
  CHECK(printer->firmware == "prusa");
  const auto axis = scan_text("G1 X1 A5 B7 F60\n; gcode_flavor = mach3\n", options());
  CHECK(length_of(axis) == 5);
  const auto macros = scan_text("SET_VELOCITY_LIMIT ACCEL=1\n" + job, options());
  REQUIRE(macros);
  CHECK(macros->firmware == "klipper");
  CHECK(macros->firmware_source == "the job's own commands");
}

TEST_CASE("the slicer's environment counts as the job's words") {
  auto o = options();
  o.environment = {
      {"SLIC3R_GCODE_FLAVOR", "marlin2"},   {"SLIC3R_USE_VOLUMETRIC_E", "1"},
      {"SLIC3R_FILAMENT_DIAMETER", "2.85"}, {"SLIC3R_FILAMENT_TYPE", "PA6"},
      {"SLIC3R_PAUSE_PRINT_GCODE", "M125"}, {"HOME", "gcode_flavor = klipper"}};
  const auto trace = scan_text("M83\nG1 X1 E63.7939658 F60\n", o);
  REQUIRE(trace);
  CHECK(length_of(trace) == Approx(10));
  CHECK(trace->firmware_source == "the slicer's variable SLIC3R_GCODE_FLAVOR");
  CHECK(trace->user_pause == "M125");
  CHECK(trace->tools.front().filament_type == "PA6");
}

TEST_CASE("an unknown firmware id is a wrong use") {
  const auto trace = scan_text("G1 X1 E1 F60\n", options("grbl"));
  REQUIRE_FALSE(trace);
  CHECK(trace.error().exit_code == 64);
  CHECK(
      trace.error().text() ==
      "no firmware is called \"grbl\"; known: marlin, klipper, prusa, mach3, unknown");
}

TEST_CASE("jobs that cannot be read are refused with a reason") {
  const struct {
    const char* label;
    std::string job;
    const char* text;
  } rows[] = {
      {"binary", std::string("GCDE\1\0\0\0", 8),
       "job.gcode: this is binary G-code, which cannot be read or edited; switch \"Use "
       "binary G-code\" off in the slicer's preferences and printer settings, and "
       "slice "
       "again"},
      {"zip", "PK\x03\x04rest",
       "job.gcode: this is a packed file (zip, 3mf), not G-code; give the .gcode file "
       "that lies inside it"},
      {"gzip", "\x1f\x8b\x08",
       "job.gcode: this is a compressed file (gzip), not G-code; unpack it first"},
      {"numbered", "; hello\nN1 G1 X1 E1*20\n",
       "job.gcode:2: the job's lines are numbered, and a line put in would break the "
       "count; use a job as the slicer writes it to a file, without N and checksums"},
      {"no filament", "G1 X1 F60\nG1 X2\n",
       "job.gcode: the job extrudes nothing: its moves carry no filament; check that "
       "it "
       "is a job for a filament printer"},
      {"empty", "",
       "job.gcode: the job extrudes nothing: it holds no moves; check that it is a job "
       "for a filament printer"},
      {"retractions only", "M83\nG1 E-5 F60\n",
       "job.gcode: the job extrudes nothing: it holds no moves; check that it is a job "
       "for a filament printer"},
      {"spindle extrusion", "M108 S10\nM101\nG1 X1 F60\nM103\n",
       "job.gcode: the job switches its extruder on and off (M101) and never says how "
       "much filament it takes; use a slicer setting that writes E words"},
      {"spindle extrusion, primed by length",
       "M82\nG1 E3 F60\nM108 S10\nM101\nG1 X1 F60\nG1 X2\nG1 X3\nG1 X4\nG1 X5\nG1 X6\n"
       "G1 X7\nG1 X8\nG1 X9\nG1 X10\nG1 X9\nG1 X8\nG1 X7\nG1 X6\nG1 X5\nG1 X4\nG1 X3\n"
       "G1 X2\nG1 X1\nG1 X0\nM103\n",
       "job.gcode: the job switches its extruder on and off (M101) and never says how "
       "much filament it takes; use a slicer setting that writes E words"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto trace = scan_text(row.job, options());
    REQUIRE_FALSE(trace);
    CHECK(trace.error().text() == row.text);
    CHECK(trace.error().exit_code == 65);
  }
}

TEST_CASE("temperatures are recorded with the place behind them") {
  const auto trace = scan_text(
      "M104 S200 T1\nM109 S215\nM104 P255\nG10 P1 S240 R180\nG10\nM104 S0\n"
      "G1 X1 E1 F60\n",
      options("marlin"));
  REQUIRE(trace);
  REQUIRE(trace->heats.size() == 5);
  CHECK(trace->heats[0].tool == 1);
  CHECK(trace->heats[0].target_c == 200);
  CHECK(trace->heats[0].insert_offset == 13);
  CHECK(trace->heats[0].insert_line == 2);
  CHECK(trace->heats[1].waits);
  CHECK(trace->heats[2].target_c == 255);
  CHECK(trace->heats[3].target_c == 240);
  CHECK(trace->heats[3].tool == 1);
  CHECK(trace->heats[4].target_c == 0);
}

TEST_CASE("oddities are noted, each in a sentence") {
  const auto trace = scan_text(
      "; MD5:0123\nM83\nG1 X1 E1 F60\nM600\nG5 X2 Y2 E1\nG1 X3 E{a}\n", options());
  REQUIRE(trace);
  CHECK(trace->notes ==
        std::vector<std::string>{
            "line 1 states an MD5 sum of the job, which an edit makes wrong",
            "M600 changes the filament once; what is loaded then is not known",
            "E is left to the firmware to compute once, and was not counted there"});
}
