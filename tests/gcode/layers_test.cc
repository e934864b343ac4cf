#include "gcode/read/layers.h"

#include <catch2/catch.hpp>

#include "gcode/job.h"

using namespace drydepth;

TEST_CASE("every slicer's mark is known, and what only looks like one is not") {
  const struct {
    const char* line;
    LayerForm form;
    double z_mm;  // -1: not stated
  } rows[] = {
      {";LAYER_CHANGE", LayerForm::kLayerChange, -1},
      {"; CHANGE_LAYER", LayerForm::kChangeLayer, -1},
      {";LAYER:0", LayerForm::kNumbered, -1},
      {";LAYER:-2", LayerForm::kNumbered, -1},
      {"; layer 1, Z = 0.3000", LayerForm::kNumberedZ, 0.3},
      {"; BEGIN_LAYER_OBJECT z=0.25 z_thickness=0.25", LayerForm::kBeginObject, 0.25},
      {";; --- layer 1 (0.200 @ 0.45) ---", LayerForm::kDashed, -1},
      {"; <layer>", LayerForm::kTag, -1},
      {"(<layer> 0.45 )", LayerForm::kParen, 0.45},
      {"(Slice 3, 1 Extruder)", LayerForm::kParen, -1},
      {";LAYER_COUNT:100", LayerForm::kNone, -1},
      {"; layer end", LayerForm::kNone, -1},
      {"; layer_height = 0.2", LayerForm::kNone, -1},
      {"; </layer>", LayerForm::kNone, -1},
      {"; END_LAYER_OBJECT z=0.25", LayerForm::kNone, -1},
      {"(layer)", LayerForm::kNone, -1},
      {";", LayerForm::kNone, -1},
  };
  for (const auto& row : rows) {
    INFO(row.line);
    const LayerSign sign = read_layer_sign(row.line);
    CHECK(sign.form == row.form);
    CHECK(sign.z_mm.value_or(-1) == row.z_mm);
  }
}

namespace {

std::string extrusion(double z) {
  return "G1 Z" + std::to_string(z) + " F600\nG1 X1 E1\nG1 X2 E1\n";
}

std::vector<LayerMark> layers_of(const std::string& job) {
  const auto trace = test::scan_text("M83\n" + job, test::options("klipper"));
  return trace ? trace->layers : std::vector<LayerMark>{};
}

}  // namespace

TEST_CASE("a block goes behind the mark and the comments that belong to it") {
  const struct {
    const char* label;
    const char* mark;
    std::uint64_t line, insert_line;
    double z_mm;
  } rows[] = {
      {"bare", ";LAYER_CHANGE\n", 2, 3, 0.3},
      {"with height", ";LAYER_CHANGE\n;Z:0.35\n;HEIGHT:0.35\n", 2, 5, 0.35},
      {"with the user's own",
       ";LAYER_CHANGE\n;Z:0.35\n;BEFORE_LAYER_CHANGE\n;0.35\n"
       "G92 E0\n",
       2, 6, 0.35},
      {"spaced", "; CHANGE_LAYER\n; Z_HEIGHT: 0.2\n; LAYER_HEIGHT: 0.2\n", 2, 5, 0.2},
      {"height in the mark", "; layer 1, Z = 0.25\n", 2, 3, 0.25},
      {"before the first type", ";LAYER:0\n;TYPE:SKIRT\n", 2, 3, 0.3},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto layers = layers_of(row.mark + extrusion(0.3));
    REQUIRE(layers.size() == 1);
    CHECK(layers[0].line == row.line);
    CHECK(layers[0].insert_line == row.insert_line);
    CHECK(layers[0].z_mm == Approx(row.z_mm));
    CHECK(layers[0].safe);
  }
}

TEST_CASE("places inside spans are not safe") {
  const std::string mark = ";LAYER_CHANGE\n";
  const struct {
    const char* label;
    std::string job;
    bool safe;
  } rows[] = {
      {"plain", mark, true},
      {"wipe", ";WIPE_START\n" + mark, false},
      {"wipe over", ";WIPE_START\n;WIPE_END\n" + mark, true},
      {"wipe ends behind the place", ";WIPE_START\n" + mark + ";WIPE_END\n", false},
      {"tool change", "; CP TOOLCHANGE START\n" + mark, false},
      {"flush", "; FLUSH_START\n" + mark, false},
      {"flush over", "; FLUSH_START\n; FLUSH_END\n" + mark, true},
      {"load", "M620 S1A\n" + mark, false},
      {"load over", "M620 S1A\nT1\nM621 S1A\n" + mark, true},
      {"conditional", "M622 J1\n" + mark, false},
      {"object", "EXCLUDE_OBJECT_START NAME=a\n" + mark, false},
      {"object over", "EXCLUDE_OBJECT_START NAME=a\nEXCLUDE_OBJECT_END\n" + mark, true},
      {"object by number", "M486 S3\n" + mark, false},
      {"object by number over", "M486 S3\nM486 S-1\n" + mark, true},
      {"object by comment", "; printing object a\n" + mark, false},
      {"object by mask", "M624 AQAAAAAAAAA=\n" + mark, false},
      {"start G-code", mark + "G28\n; MACHINE_START_GCODE_END\n", false},
      {"indented", mark + "  G1 X9\n", false},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto layers = layers_of(row.job + extrusion(0.3));
    REQUIRE(layers.size() == 1);
    CHECK(layers[0].safe == row.safe);
  }
  const auto last = layers_of(extrusion(0.3) + ";LAYER_CHANGE");
  REQUIRE(last.size() == 1);
  CHECK_FALSE(last[0].safe);
}

TEST_CASE("without marks a layer begins where extrusion goes on higher up") {
  const auto layers = layers_of(extrusion(0.3) + "G1 Z5\nG1 X50\nG1 Z0.3\nG1 X3 E1\n" +
                                extrusion(0.5) + extrusion(0.7));
  REQUIRE(layers.size() == 3);
  CHECK(layers[0].insert_line == 3);
  CHECK(layers[1].z_mm == Approx(0.5));
  CHECK(layers[1].line == layers[1].insert_line);
}

TEST_CASE("objects printed one after the other count on") {
  CHECK(layers_of(extrusion(0.2) + extrusion(0.4) + extrusion(0.2) + extrusion(0.4))
            .size() == 3);
  const std::string marked = ";LAYER_CHANGE\n;Z:0.2\n" + extrusion(0.2) +
                             ";LAYER_CHANGE\n;Z:0.4\n" + extrusion(0.4);
  CHECK(layers_of(marked + marked).size() == 4);
}

TEST_CASE("the first form of mark is the job's form") {
  const std::string both = ";LAYER_CHANGE\n;LAYER:1\n" + extrusion(0.3);
  CHECK(layers_of(both + both).size() == 2);
  const std::string purge = "G1 Z0.5 F600\nG1 X9 E9\n";
  const auto layers = layers_of(purge + ";LAYER:0\n" + extrusion(0.3));
  REQUIRE(layers.size() == 1);
  CHECK(layers[0].line == 4);
  const std::string object = "; BEGIN_LAYER_OBJECT z=0.3 z_thickness=0.3\n";
  CHECK(layers_of(object + extrusion(0.3) + object + extrusion(0.3)).size() == 1);
  const std::string moves =
      "G1 Z0.3 F600 ; move to next layer (0)\nG1 X1 E1\n"
      "G1 Z0.6 ; move to next layer (1)\nG1 X2 E1\n";
  CHECK(layers_of(moves).size() == 2);
  CHECK(layers_of(";LAYER_CHANGE\n" + moves).size() == 1);
}
