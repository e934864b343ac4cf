#include "gcode/read/explain.h"

#include <catch2/catch.hpp>

#include "gcode/job.h"

using namespace drydepth;

namespace {

/// "what: value (source)" of each row, "?" before what was guessed.
std::vector<std::string> rows_of(const std::string& job, const ScanOptions& options) {
  const auto trace = test::scan_text(job, options);
  REQUIRE(trace);
  std::vector<std::string> rows;
  for (const Explained& row : trace->explained) {
    rows.push_back((row.guessed ? "?" : "") + row.what + ": " + row.value + " (" +
                   row.source + ")");
  }
  return rows;
}

const std::string kTwoTools =
    "M83\nT0\nG1 X10 E4 F600\nT1\nG1 X0 E2\nT0\nG1 X10 E1\nT0\nT1\nG1 X0 E1\n";

}  // namespace

TEST_CASE("a job that says nothing is explained as a row of guesses") {
  CHECK(
      rows_of("G1 X10 E1 F600\nG1 X0 E2\n", test::options()) ==
      std::vector<std::string>{
          "?firmware:  (a guess, since nothing in the job names a firmware)",
          "?E mode: absolute (the usual mode, as E mostly rises)",
          "?E unit: mm (the usual unit)",
          "filament diameter: not needed (E is a length)",
          "flow: 100 % (no M221 in the job)", "tools: T0 (the moves that extrude)",
          "?layers: 0 (the heights of the moves)",
          "?duration: 2 s (the moves, planned with the defaults kept here for )",
          "?limits: print none, travel none, retract none mm/s2, jerk X none, Y none, "
          "Z none, E none mm/s (the defaults kept here for )"});
}

TEST_CASE("each guess gives way to an option, and is then none") {
  auto options = test::options("klipper");
  options.e_mode = EMode::kRelative;
  options.e_is_volume = true;
  options.filament_diameter_mm[0] = 2.85;
  options.total_s = 60;
  const auto rows = rows_of("M221 S100\nM204 S500\nG1 X10 E1 F600\n", options);
  CHECK(rows ==
        std::vector<std::string>{
            "firmware:  (given)", "E mode: relative (given)", "E unit: mm3 (given)",
            "filament diameter: 2.85 mm (the settings, or given)",
            "flow: 100 % (M221 stands once)", "tools: T0 (the moves that extrude)",
            "?layers: 0 (the heights of the moves)",
            "duration: 60 s (the total that was given)",
            "limits: print 500, travel 500, retract none mm/s2, jerk X none, Y "
            "none, Z none, E none mm/s (the job's own M204 over the defaults "
            "kept here for )"});
}

TEST_CASE("what stands in the job is no guess") {
  const auto rows =
      rows_of(test::sample("ps25_cube_marlin_volumetricE.gcode"), test::options());
  CHECK(rows[1] == "E mode: absolute (the job's M82 and M83)");
  CHECK(rows[2] == "E unit: mm3 (use_volumetric_e on line 5249)");
  CHECK(rows[3] == "filament diameter: 1.75 mm (the settings, or given)");
  CHECK(rows[6] == "layers: 66 (;LAYER_CHANGE)");
}

TEST_CASE("tools that take over are counted, and a purge is added to each") {
  auto options = test::options();
  const auto plain = test::scan_text(kTwoTools, options);
  options.purge_mm = 50;
  const auto purged = test::scan_text(kTwoTools, options);
  REQUIRE(plain);
  REQUIRE(purged);
  REQUIRE(purged->tools.size() == 2);
  CHECK(plain->tools[0].loads == 1);
  CHECK(plain->tools[1].loads == 2);
  CHECK(purged->tools[0].length_mm - plain->tools[0].length_mm == Approx(50));
  CHECK(purged->tools[1].length_mm - plain->tools[1].length_mm == Approx(100));
  CHECK(purged->tools[1].points.back().length_mm == purged->tools[1].length_mm);
  const auto rows = rows_of(kTwoTools, options);
  CHECK(rows[5] ==
        "tools: T0 (loaded once), T1 (loaded 2 times) (the moves that extrude)");
  CHECK(rows[6] == "purge: 50 mm each time a tool is loaded (given)");
}

TEST_CASE("a purge is no difference to the stated length") {
  auto options = test::options();
  options.purge_mm = 50;
  const auto trace =
      test::scan_text(kTwoTools + "; filament used [mm] = 5.00, 3.00\n", options);
  REQUIRE(trace);
  CHECK(trace->tools[0].stated_note == "");
  CHECK(trace->tools[1].stated_note == "");
}

// RepRapFirmware at fc1cd16, GCodes.cpp: 0 to 200 %, D chooses the extruder. M200: its
// documentation and Marlin's; a diameter of 0 ends the mode.
TEST_CASE("flow factors and volumes are read as the firmware does") {
  auto clamped = test::options("marlin");
  clamped.dialects[0].max_flow = 2;
  const double area = 3.141592653589793 / 4 * 1.75 * 1.75;
  const struct {
    const char* label;
    std::string job;
    ScanOptions options;
    double length_mm;
  } rows[] = {
      {"within", "M83\nM221 S150\nG1 X1 E10 F60\n", clamped, 15},
      {"clamped", "M83\nM221 S300\nG1 X1 E10 F60\n", clamped, 20},
      {"not clamped", "M83\nM221 S300\nG1 X1 E10 F60\n", test::options("marlin"), 30},
      {"of another extruder", "M83\nM221 D1 S50\nG1 X1 E10 F60\n", clamped, 10},
      {"of this one", "M83\nM221 D0 S50\nG1 X1 E10 F60\n", clamped, 5},
      {"volume on", "M83\nM200 D1.75\nG1 X1 E10 F60\n", clamped, 10 / area},
      {"diameter kept, off", "M83\nM200 D1.75 S0\nG1 X1 E10 F60\n", clamped, 10},
      {"on again", "M83\nM200 D1.75 S0\nM200 S1\nG1 X1 E10 F60\n", clamped, 10 / area},
      {"diameter 0", "M83\nM200 D1.75\nM200 D0\nG1 X1 E10 F60\n", clamped, 10},
      {"a list of extruders", "M83\nM200 D1.75:2.85\nT1\nG1 X1 E10 F60\n", clamped,
       10 / (3.141592653589793 / 4 * 2.85 * 2.85)},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto trace = test::scan_text(row.job, row.options);
    REQUIRE(trace);
    CHECK(trace->tools.front().length_mm == Approx(row.length_mm));
  }
}
