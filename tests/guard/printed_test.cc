#include "guard/printed.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"

using namespace drydepth;

namespace {

Trace trace_of_four() {
  Trace out = plain_trace(4);  // 100 lines, 4000 s and 10 m a layer from line 104
  out.lines = 504;
  return out;
}

}  // namespace

TEST_CASE("a stop is read as people say it") {
  const struct {
    const char* text;
    StopKind kind;
    double value;
  } rows[] = {{"L31", StopKind::kLayer, 31},
              {"layer 31", StopKind::kLayer, 31},
              {"62%", StopKind::kPercent, 62},
              {"0.5%", StopKind::kPercent, 0.5},
              {"line 51234", StopKind::kLine, 51234}};
  for (const auto& row : rows) {
    INFO(row.text);
    const auto place = parse_stop_place(row.text);
    REQUIRE(place);
    CHECK(place->kind == row.kind);
    CHECK(place->value == row.value);
  }
  for (const char* bad : {"", "31", "L", "L0", "L1.5", "0%", "101%", "line", "noon",
                          "L1e30", "line 1e30"}) {
    INFO(bad);
    const auto place = parse_stop_place(bad);
    REQUIRE_FALSE(place);
    CHECK(place.error().text() ==
          "\"" + std::string(bad) +
              "\" is no place of a job; write L31 for a layer, 62% of the job's time, "
              "or \"line 51234\"");
  }
}

TEST_CASE("a stop is a time of the job, a layer a stretch of it") {
  const std::vector<Block> blocks{
      {.line = 2, .action = "note", .lines = {";a", ";b"}},      // 4 lines in the file
      {.line = 208, .action = "message", .lines = {"M117 a"}}};  // 3 lines
  // A layer's mark stands three lines before its first move here: 120 s of a layer.
  const struct {
    const char* label;
    StopPlace place;
    double earliest_s, latest_s;
  } rows[] = {{"layer", {StopKind::kLayer, 2}, 4'000, 8'000},
              {"last layer", {StopKind::kLayer, 4}, 12'000, 16'000},
              {"percent", {StopKind::kPercent, 62.5}, 10'000, 10'000},
              {"line of the file", {StopKind::kLine, 154 + 4}, 2'000, 2'000},
              {"line behind two blocks", {StopKind::kLine, 254 + 7}, 6'000, 6'000},
              {"line inside the second", {StopKind::kLine, 209}, 4'000, 4'000},
              {"last line", {StopKind::kLine, 504 + 7}, 16'000, 16'000}};
  for (const auto& row : rows) {
    INFO(row.label);
    const auto time = stop_time(trace_of_four(), row.place, blocks);
    REQUIRE(time);
    CHECK(time->earliest_s == Approx(row.earliest_s).margin(125));
    CHECK(time->latest_s == Approx(row.latest_s).margin(125));
  }
  const auto layer = stop_time(trace_of_four(), {StopKind::kLayer, 5}, blocks);
  REQUIRE_FALSE(layer);
  CHECK(layer.error().text() ==
        "the job has no layer 5, its last one is 4; mend the number");
  const auto line = stop_time(trace_of_four(), {StopKind::kLine, 512}, blocks);
  REQUIRE_FALSE(line);
  CHECK(line.error().text() ==
        "the job has no line 512, its last one is 511; mend the number");
}

TEST_CASE("what was taken by a time lies on the curve") {
  const std::vector<DrawPoint> curve{{0, 0}, {100, 0.010}, {300, 0.010}, {400, 0.050}};
  const struct {
    double time_s, mass_kg;
  } rows[] = {{0, 0},       {50, 0.005},  {100, 0.010},
              {200, 0.010}, {350, 0.030}, {999, 0.050}};
  for (const auto& row : rows) {
    INFO(row.time_s);
    CHECK(mass_at_time(curve, row.time_s) == Approx(row.mass_kg));
  }
}
