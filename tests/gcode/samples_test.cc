#include <catch2/catch.hpp>
#include <cmath>

#include "gcode/job.h"

using namespace drydepth;

namespace {

struct SampleRow {
  const char* file;
  double peak_mm;  // measured by two independent integrators, see the data's origin
  double net_mm;
  double stated_mm;  // as the slicer writes it; 0 for none or a placeholder
  std::size_t layers;
  double duration_s;
  double tolerance_s;
};

constexpr double kSection = 2.4052818754046853;  // of 1.75 mm, mm2

// Lengths: final net and peak of the E words, volumes divided by the section. Times:
// the slicer's total, or its last ;TIME_ELAPSED, behind which only the end G-code
// follows.
const SampleRow kSamples[] = {
    {"cura413_cube_makerbot.gcode", 2014.65, 2006.15, 0, 100, 1508.5, 3},
    {"cura413_cube_marlin.gcode", 2014.63, 2006.13, 0, 100, 1509.6, 3},
    {"cura413_cube_relE_fwretract_rrf.gcode", 2014.65, 2012.65, 0, 100, 1508.5, 3},
    {"cura413_cube_ultigcode.gcode", 4841.57 / kSection, 4798.11 / kSection, 0, 100,
     1508.5, 3},
    {"cura413_cube_volumetric.gcode", 4841.57 / kSection, 4823.94 / kSection, 0, 100,
     1508.5, 3},
    {"ps25_cube_mach3_E_is_A.gcode", 1491.16, 1489.16, 1491.16, 66, 826, 0.01},
    {"ps25_cube_marlin2_M73.gcode", 1491.16, 1489.16, 1491.16, 66, 826, 0.01},
    {"ps25_cube_marlin2_comments_labels.gcode", 1491.16, 1489.16, 1491.16, 66, 826,
     0.01},
    {"ps25_cube_marlin2_relE.gcode", 1504.89, 1502.89, 1504.88, 99, 1151, 0.01},
    {"ps25_cube_marlin2_wipe_spiral.gcode", 408.37, 406.37, 408.37, 66, 476, 0.01},
    {"ps25_cube_marlin_volumetricE.gcode", 1491.16, 1489.16, 1491.16, 66, 826, 0.01},
    {"ps25_cube_repetier.gcode", 1491.16, 1489.16, 1491.16, 66, 826, 0.01},
    {"ps25_cube_reprapfw_fwretract_absE.gcode", 1474.64, 1474.64, 1474.64, 66, 897,
     0.01},
    {"ps25_cube_smoothie.gcode", 1491.16, 1489.16, 1491.16, 66, 826, 0.01},
    {"slic3r13_cube_marlin.gcode", 1829.16, 1827.16, 1829.2, 67, 569, 1},
};

/// All of a trace that could differ, as text.
std::string print(const Trace& t) {
  std::string out;
  const auto add = [&out](auto... values) {
    ((out += std::to_string(values) + " "), ...);
    out += "\n";
  };
  for (const ToolTrace& tool : t.tools) {
    add(tool.tool, tool.length_mm, tool.net_mm, tool.stated_length_mm.value_or(-1),
        tool.stated_mass_g.value_or(-1));
    out += tool.stated_note + "|" + tool.filament_type + "\n";
    for (const TracePoint& p : tool.points) add(p.time_s, p.length_mm, p.line, p.layer);
  }
  for (const LayerMark& l : t.layers) {
    add(l.line, l.insert_offset, l.insert_line, l.z_mm, l.time_s, l.safe);
  }
  for (const HeatMark& h : t.heats) {
    add(h.line, h.insert_offset, h.insert_line, h.tool, h.target_c, h.waits);
  }
  add(t.duration_s, t.duration_spread, t.filament_diameter_mm, t.bytes, t.lines,
      t.header_offset, t.header_line, t.guarded);
  out += t.duration_source + "|" + t.slicer + "|" + t.firmware + "|" +
         t.firmware_source + "|" + t.user_pause + "\n";
  for (const std::string& note : t.notes) out += note + "\n";
  return out;
}

}  // namespace

TEST_CASE("sample jobs have the lengths, layers and times that are known of them") {
  for (const SampleRow& row : kSamples) {
    INFO(row.file);
    const auto trace = scan(file_source(test::sample_path(row.file)), test::options());
    REQUIRE(trace);
    REQUIRE(trace->tools.size() == 1);
    const ToolTrace& tool = trace->tools.front();
    CHECK(tool.length_mm == Approx(row.peak_mm).margin(0.01));
    CHECK(tool.net_mm == Approx(row.net_mm).margin(0.01));
    CHECK(tool.stated_length_mm.value_or(0) == Approx(row.stated_mm));
    if (row.stated_mm > 0) CHECK(std::abs(tool.length_mm - row.stated_mm) < 0.05);
    CHECK(tool.stated_note == "");
    CHECK(trace->layers.size() == row.layers);
    CHECK(trace->duration_s == Approx(row.duration_s).margin(row.tolerance_s));
    CHECK_FALSE(trace->guarded);
  }
}

// PrusaSlicer reckons with the machine_max_* settings that stand in each of its jobs
// (normal mode), Cura's engine with the defaults of its own fdmprinter.def.json, here
// of 4.13.0, which its jobs do not state.
TEST_CASE("the plan alone comes near what the slicers reckon") {
  auto options = test::options();
  options.anchored = false;
  auto cura = options;
  for (Dialect& dialect : cura.dialects) {
    dialect.limits.accel_mm_s2 = {9000, 9000, 100, 10000};
    dialect.limits.jerk_mm_s = {20, 20, 0.4, 5};
    dialect.limits.print_accel_mm_s2 = dialect.limits.travel_accel_mm_s2 =
        dialect.limits.retract_accel_mm_s2 = 4000;
  }
  for (const SampleRow& row : kSamples) {
    INFO(row.file);
    const std::string name = row.file;
    if (name.starts_with("slic3r")) continue;  // states no time
    const auto trace = scan(file_source(test::sample_path(row.file)),
                            name.starts_with("cura") ? cura : options);
    REQUIRE(trace);
    CHECK(trace->duration_source.starts_with("the moves, planned with "));
    CHECK(trace->duration_s == Approx(row.duration_s).epsilon(0.03));
  }
}

TEST_CASE("points rise in length, never fall in time, and end at the peak") {
  for (const SampleRow& row : kSamples) {
    INFO(row.file);
    const auto trace = scan(file_source(test::sample_path(row.file)), test::options());
    REQUIRE(trace);
    const auto& points = trace->tools.front().points;
    REQUIRE(points.size() >= row.layers);
    CHECK(points.front().length_mm == 0);
    CHECK(points.back().length_mm == trace->tools.front().length_mm);
    CHECK(points.back().time_s <= trace->duration_s);
    for (std::size_t i = 1; i < points.size(); ++i) {
      REQUIRE(points[i].length_mm > points[i - 1].length_mm);
      REQUIRE(points[i].time_s >= points[i - 1].time_s);
      REQUIRE(points[i].line >= points[i - 1].line);
      REQUIRE(points[i].layer >= points[i - 1].layer);
    }
  }
}

TEST_CASE("blocks may go in at line starts, and the header stays behind line 1") {
  for (const SampleRow& row : kSamples) {
    INFO(row.file);
    const std::string text = test::sample(row.file);
    const auto trace = scan(memory_source("job", text), test::options());
    REQUIRE(trace);
    REQUIRE(trace->header_offset > 0);
    CHECK(text[trace->header_offset - 1] == '\n');
    CHECK(trace->header_line >= 2);
    for (const LayerMark& layer : trace->layers) {
      REQUIRE(layer.safe);
      REQUIRE(layer.insert_offset > 0);
      REQUIRE(text[layer.insert_offset - 1] == '\n');
    }
  }
}

TEST_CASE("the pieces a job comes in make no difference") {
  for (const SampleRow& row : kSamples) {
    INFO(row.file);
    const std::string text = test::sample(row.file);
    const auto whole = scan(memory_source("job", text, text.size()), test::options());
    REQUIRE(whole);
    for (const std::size_t piece : {1u, 7u, 4096u}) {
      const auto cut = scan(memory_source("job", text, piece), test::options());
      REQUIRE(cut);
      REQUIRE(print(*cut) == print(*whole));
    }
  }
}

TEST_CASE("what the slicer says of itself is found") {
  const auto trace =
      test::scan_text(test::sample("ps25_cube_marlin2_M73.gcode"), test::options());
  REQUIRE(trace);
  CHECK(trace->slicer == "PrusaSlicer 2.5.0");
  CHECK(trace->firmware == "marlin");
  CHECK(trace->firmware_source == "gcode_flavor on line 5321");
  CHECK(trace->user_pause == "M601");
  CHECK(trace->tools.front().filament_type == "NYLON");
  CHECK(trace->tools.front().stated_mass_g == 4.09);
  CHECK(trace->duration_source ==
        "the slicer's total (estimated printing time (normal mode) on line 5230) with "
        "the job's M73 lines");
  CHECK(trace->notes.empty());
}

TEST_CASE("a volume becomes a length, loudly where the diameter is not known") {
  auto options = test::options();
  const std::string text = test::sample("cura413_cube_ultigcode.gcode");
  const auto guessed = test::scan_text(text, options);
  REQUIRE(guessed);
  CHECK(guessed->filament_diameter_mm == 1.75);
  CHECK(guessed->notes.back() ==
        "THE FILAMENT'S DIAMETER IS NOT KNOWN for tool 0, and 1.75 mm was taken; with "
        "2.85 mm all lengths would be 2.65 times shorter: give the diameter");
  options.filament_diameter_mm[0] = 2.85;
  const auto given = test::scan_text(text, options);
  REQUIRE(given);
  // Area of a circle of 2.85 mm.
  CHECK(given->tools.front().length_mm == Approx(4841.57 / 6.37939658).margin(0.01));
  CHECK(given->notes.back() == "E is a volume in mm3, as FLAVOR on line 1 says");
}
