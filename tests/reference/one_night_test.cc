#include "reference/one_night.h"

#include <catch2/catch.hpp>

// Common practice, no source: the story itself is no measurement. What is held here is
// what docs/model.md says of it.

namespace drydepth::one_night {
namespace {

TEST_CASE("one night in the dryer, as told, against the priors") {
  const auto moments = foreseen({kEarliestHours, kMiddleHours, kLatestHours}, 512);
  struct Row {
    Percentiles mean, outermost;  // %
  };
  const Row rows[] = {{{1.10, 1.52, 1.86}, {0.15, 0.44, 0.95}},
                      {{0.80, 1.26, 1.66}, {0.11, 0.28, 0.73}},
                      {{0.58, 1.05, 1.49}, {0.10, 0.20, 0.57}}};
  for (std::size_t k = 0; k < 3; ++k) {
    INFO(moments[k].hours << " h");
    const auto same = [](const Percentiles& found, const Percentiles& said) {
      CHECK(100 * found.p10 == Approx(said.p10).margin(0.006));
      CHECK(100 * found.p50 == Approx(said.p50).margin(0.006));
      CHECK(100 * found.p90 == Approx(said.p90).margin(0.006));
    };
    same(moments[k].mean, rows[k].mean);
    same(moments[k].outermost, rows[k].outermost);
  }
  // After 8 and 11 h what is told lies within the 10-90 % range, after 14 h above it.
  for (const std::size_t k : {0U, 1U}) {
    CHECK(moments[k].mean.p10 < kToldContent);
    CHECK(moments[k].mean.p90 > kToldContent);
  }
  CHECK(moments[2].mean.p90 < kToldContent);
}

TEST_CASE("one night in the dryer: the pack it implies") {
  struct Row {
    double hours, gap_factor, outermost_percent, depth_g;
  };
  for (const Row& row :
       {Row{8, 0.045, 0.42, 42}, {11, 0.027, 0.27, 91}, {14, 0.019, 0.20, 111}}) {
    INFO(row.hours << " h");
    const auto found = implied(row.hours);
    REQUIRE(found);
    CHECK(found->gap_factor == Approx(row.gap_factor).margin(6e-4));
    CHECK(100 * found->outermost == Approx(row.outermost_percent).margin(0.006));
    CHECK(1e3 * found->dry_depth_kg == Approx(row.depth_g).margin(0.6));
  }
}

}  // namespace
}  // namespace drydepth::one_night
