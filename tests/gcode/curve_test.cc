#include "gcode/read/curve.h"

#include <catch2/catch.hpp>

#include "gcode/job.h"

using namespace drydepth;

TEST_CASE("a curve has a point each 50 mm, and its ends") {
  ToolCurve curve;
  for (int i = 0; i < 100; ++i) {
    curve.take(3, 3, i, i + 1, {static_cast<std::uint64_t>(i), 0});
  }
  CHECK(curve.peak_mm() == 300);
  const auto points = curve.finish();
  REQUIRE(points.size() == 7);
  CHECK(points[0].length_mm == 0);
  CHECK(points[1].length_mm == 51);
  CHECK(points[1].time_s == 17);
  CHECK(points.back().length_mm == 300);
  CHECK(points.back().time_s == 100);
}

TEST_CASE("retractions leave no mark on the curve") {
  ToolCurve curve;
  curve.take(10, 10, 0, 1, {1, 0});
  for (int i = 0; i < 1000; ++i) {
    curve.take(-5, -5, 1, 1, {2, 0});
    curve.take(5, 5, 1, 1, {3, 0});
  }
  CHECK(curve.peak_mm() == 10);
  CHECK(curve.finish().size() == 2);
}

TEST_CASE("memory stays bounded however long the job") {
  ToolCurve curve;
  double time = 0;
  for (std::uint64_t i = 0; i < 400'000; ++i) {
    curve.take(60, 60, time, time + 1, {i, 0});
    time += 1;
  }
  const auto points = curve.finish();
  CHECK(points.size() <= ToolCurve::kMostPoints + 1);
  CHECK(points.size() > ToolCurve::kMostPoints / 4);
  CHECK(points.back().length_mm == 24e6);
  for (std::size_t i = 1; i < points.size(); ++i) {
    REQUIRE(points[i].length_mm > points[i - 1].length_mm);
    REQUIRE(points[i].time_s == Approx(points[i].length_mm / 60));
  }
}

TEST_CASE("a million layers of nothing cost no memory") {
  ToolCurve curve;
  for (std::uint64_t i = 0; i < 300'000; ++i) {
    curve.take(0.001, 0.001, 0, 0, {i, 0});
    curve.begin_layer(0, {i, 0});
  }
  CHECK(curve.finish().size() <= ToolCurve::kMostPoints + 1);
}
