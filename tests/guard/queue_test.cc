#include "guard/queue.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"

using namespace drydepth;

namespace {

Trace only_tool_one(Trace trace) {
  trace.tools[0].tool = 1;
  return trace;
}

}  // namespace

TEST_CASE("jobs of a queue follow each other with a pause between") {
  const auto queue = make_queue(
      {{.name = "a", .trace = plain_trace(2)}, {.name = "b", .trace = plain_trace(3)}},
      600);
  CHECK(queue[0].start_s == 0);
  CHECK(queue[1].start_s == 8'000 + 600);
  const Spool dried = dried_spool();
  const auto curve = queue_curve(queue, 0, dried.record, dried.material);
  const double metre_kg = strand_mass_kg(1.0, dried.record.filament_diameter_m,
                                         dried.material.density_kg_m3.value);
  CHECK(curve.back().time_s == 8'600 + 12'000);
  CHECK(curve.back().mass_kg == Approx(50 * metre_kg));
  for (std::size_t k = 1; k < curve.size(); ++k) {
    INFO(k);
    CHECK(curve[k].time_s >= curve[k - 1].time_s);
    CHECK(curve[k].mass_kg >= curve[k - 1].mass_kg);
  }
}

TEST_CASE("a place of a queue names the job and the place in it") {
  const auto queue = make_queue({{.name = "a", .trace = plain_trace(2)},
                                 {.name = "b", .trace = only_tool_one(plain_trace(1))},
                                 {.name = "c", .trace = plain_trace(3)}},
                                0);
  const struct {
    double length_mm;
    std::size_t job;
    std::uint32_t layer;
    double time_s;
  } rows[] = {{0, 0, 0, 0},           {15'000, 0, 1, 6'000}, {20'000, 0, 1, 8'000},
              {25'000, 2, 0, 2'000},  // b takes nothing from this spool
              {45'000, 2, 2, 10'000}, {99'000, 2, 2, 12'000}};
  for (const auto& row : rows) {
    INFO(row.length_mm);
    const QueuePlace at = queue_place(queue, 0, row.length_mm);
    CHECK(at.job == row.job);
    CHECK(at.place.layer == row.layer);
    CHECK(at.place.time_s == Approx(row.time_s));
  }
}
