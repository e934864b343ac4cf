#include "gcode/clock/planner.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

using namespace drydepth;

namespace {

constexpr double kSqrt2 = 1.4142135623730951;

Motion line(double x, double y, double speed, double e = 0) {
  Motion m;
  m.kind = e > 0 ? MoveKind::kPrint : MoveKind::kTravel;
  m.length_mm = std::hypot(x, y);
  m.speed_mm_s = speed;
  m.enter = m.leave = {static_cast<float>(x), static_cast<float>(y), 0,
                       static_cast<float>(e)};
  return m;
}

Motion circle(double radius, double speed) {
  Motion m = line(2 * 3.141592653589793 * radius, 0, speed);
  m.radius_mm = radius;
  return m;
}

MotionLimits limits(CornerRule corner) {
  MotionLimits l;
  l.corner = corner;
  l.print_accel_mm_s2 = l.travel_accel_mm_s2 = l.retract_accel_mm_s2 = 1000;
  return l;
}

MotionLimits jerk(double mm_s) {
  MotionLimits l = limits(CornerRule::kJerk);
  l.jerk_mm_s = {mm_s, mm_s, mm_s, mm_s};
  return l;
}

MotionLimits deviation(double mm) {
  MotionLimits l = limits(CornerRule::kDeviation);
  l.deviation_mm = mm;
  return l;
}

MotionLimits square(double mm_s, double ratio = 0) {
  MotionLimits l = limits(CornerRule::kSquare);
  l.square_corner_mm_s = mm_s;
  l.cruise_ratio = ratio;
  return l;
}

MotionLimits slow_extruder() {
  MotionLimits l = deviation(0.01);
  l.speed_mm_s[3] = 5;
  return l;
}

double duration(const MotionLimits& l, const std::vector<Motion>& moves) {
  Planner planner(l);
  double clock = 0;
  for (const Motion& m : moves) planner.add(m, clock += 1);
  return planner.finish(clock).back().true_s;
}

/// A trapezoid that reaches its speed: v0 to v to v1 over d, at 1000 mm/s2.
double trapezoid(double v0, double v, double v1, double d) {
  const double ramps = (2 * v * v - v0 * v0 - v1 * v1) / 2000;
  return (2 * v - v0 - v1) / 1000 + (d - ramps) / v;
}

/// One that does not: all of d goes into the ramps.
double triangle(double v0, double v1, double d) {
  const double peak = std::sqrt(1000 * d + (v0 * v0 + v1 * v1) / 2);
  return (2 * peak - v0 - v1) / 1000;
}

}  // namespace

// By hand from the formulas of Klipper's Kinematics.md and of S. Jeon, "Improving Grbl:
// Cornering Algorithm", 2011; those of jerk from Marlin's M205 (classic jerk).
TEST_CASE("moves take the time of their trapezoids") {
  const double corner90 = trapezoid(0, 100, 5, 100) * 2;
  const struct {
    const char* label;
    MotionLimits limits;
    std::vector<Motion> moves;
    double time_s;
  } rows[] = {
      {"no limits", MotionLimits{}, {line(100, 0, 100)}, 1},
      {"rest to rest", deviation(0.01), {line(100, 0, 100)}, 1.1},
      {"never reaches its speed",
       deviation(0.01),
       {line(1, 0, 100)},
       2 * std::sqrt(1000.0) / 1000},
      {"jerk starts at once",
       jerk(10),
       {line(100, 0, 100)},
       trapezoid(10, 100, 10, 100)},
      {"jerk, slower than the jerk", jerk(10), {line(100, 0, 8)}, 12.5},
      {"jerk, corner of 90 degrees",
       jerk(10),
       {line(100, 0, 100), line(0, 100, 100)},
       trapezoid(10, 100, 10, 100) * 2},
      {"jerk, corner of 45 degrees: the larger change of an axis counts",
       jerk(10),
       {line(100, 0, 50), line(100 / kSqrt2, 100 / kSqrt2, 50)},
       trapezoid(10, 50, 10 * kSqrt2, 100) +
           trapezoid(10 * kSqrt2, 50, 10 * kSqrt2, 100)},
      {"jerk, straight on",
       jerk(10),
       {line(50, 0, 100), line(50, 0, 100)},
       trapezoid(10, 100, 10, 100)},
      {"jerk, turning round",
       jerk(10),
       {line(100, 0, 100), line(-100, 0, 100)},
       trapezoid(10, 100, 10, 100) * 2},
      {"square corner", square(5), {line(100, 0, 100), line(0, 100, 100)}, corner90},
      {"the deviation that gives the same corner",
       deviation(25 * (kSqrt2 - 1) / 1000),
       {line(100, 0, 100), line(0, 100, 100)},
       corner90},
      {"deviation, turning round",
       deviation(0.1),
       {line(100, 0, 100), line(-100, 0, 100)},
       2.2},
      {"deviation, straight on",
       deviation(0.01),
       {line(50, 0, 100), line(50, 0, 100)},
       1.1},
      {"square corner between short moves: half of each is all the room",
       square(5),
       {line(0.01, 0, 100), line(0, 0.01, 100)},
       2 * triangle(0, std::sqrt(5.0), 0.01)},
      {"an arc holds v^2 <= a R",
       deviation(0.01),
       {circle(1, 100)},
       trapezoid(0, std::sqrt(1000.0), 0, 2 * 3.141592653589793)},
      {"cruise ratio",
       square(5, 0.5),
       {line(1, 0, 100)},
       trapezoid(0, std::sqrt(500.0), 0, 1)},
      {"cruise ratio, long move", square(5, 0.5), {line(100, 0, 100)}, 1.1},
      {"cruise ratio, one move in two parts",
       square(5, 0.5),
       {line(0.5, 0, 100), line(0.5, 0, 100)},
       trapezoid(0, std::sqrt(500.0), 0, 1)},
      {"the extruder's speed",
       slow_extruder(),
       {line(100, 0, 100, 10)},
       trapezoid(0, 50, 0, 100)},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(duration(row.limits, row.moves) == Approx(row.time_s).epsilon(2e-6));
  }
}

TEST_CASE("a long way in many short moves takes no longer") {
  for (const std::size_t count : {10u, 511u, 512u, 513u, 1000u, 1500u}) {
    INFO(count);
    const double part = 100.0 / static_cast<double>(count);
    const std::vector<Motion> moves(count, line(part, 0, 100));
    CHECK(duration(deviation(0.01), moves) == Approx(1.1).epsilon(1e-4));
    CHECK(duration(square(5, 0.5), moves) == Approx(1.1).epsilon(1e-4));
  }
}

TEST_CASE("each axis bounds the acceleration, and each kind has its own") {
  MotionLimits l = deviation(0.01);
  l.accel_mm_s2 = {0, 250, 0, 0};
  l.travel_accel_mm_s2 = 4000;
  // v / a + d / v
  CHECK(duration(l, {line(0, 100, 100)}) == Approx(0.4 + 1));
  CHECK(duration(l, {line(100, 0, 100)}) == Approx(0.025 + 1));
  CHECK(duration(l, {line(100, 0, 100, 5)}) == Approx(0.1 + 1));
}

TEST_CASE("a rest stops the machine and lasts") {
  Planner planner(deviation(0.01));
  planner.add(line(50, 0, 100), 0.5);
  planner.rest(7, 7.5);
  planner.add(line(50, 0, 100), 8);
  const auto anchors = planner.finish(8);
  CHECK(anchors.back().true_s == Approx(2 * (0.1 + 0.5) + 7));
  CHECK(time_at(anchors, 0.5) == Approx(0.6));
  CHECK(time_at(anchors, 7.5) == Approx(7.6));
}

TEST_CASE("limits change for what follows, not for what waits in the queue") {
  Planner planner(deviation(0.01));
  planner.add(line(100, 0, 100), 1);
  planner.set_limits(jerk(1e9));
  planner.add(line(100, 0, 100), 2);
  CHECK(planner.finish(2).back().true_s == Approx(0.05 + 1 + 1));
}

TEST_CASE("moves without a way or a speed take no time") {
  CHECK(duration(jerk(10), {line(0, 0, 100), line(10, 0, 0), line(1e-12, 0, 100)}) ==
        0);
  Motion far = line(1e9, 0, 1e-9);
  CHECK(std::isfinite(duration(jerk(10), {far, line(1e-8, 0, 1e9)})));
}

TEST_CASE("the planned times rise with the clock, and stay few") {
  Planner planner(jerk(10));
  double clock = 0;
  for (int i = 0; i < 400'000; ++i) planner.add(line(10, i % 7, 10), clock += 1);
  const auto anchors = planner.finish(clock);
  CHECK(anchors.size() <= 65537);
  CHECK(anchors.back().raw_s == clock);
  for (std::size_t i = 1; i < anchors.size(); ++i) {
    REQUIRE(anchors[i].raw_s > anchors[i - 1].raw_s);
    REQUIRE(anchors[i].true_s >= anchors[i - 1].true_s);
  }
}
