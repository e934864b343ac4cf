#include "gcode/clock/clock.h"

#include <catch2/catch.hpp>

using namespace drydepth;

namespace {

/// A job that the planner finds as long as its feeds say.
TimeFacts facts(double raw_total_s, std::optional<double> stated_s = std::nullopt,
                const char* source = "") {
  TimeFacts out;
  out.planned = {{0, 0}, {raw_total_s, raw_total_s}};
  out.total_s = stated_s;
  out.total_source = source;
  out.limits_source = "the defaults";
  return out;
}

}  // namespace

TEST_CASE("elapsed times bend the raw time piece by piece") {
  JobClock clock;
  clock.elapsed(100, 150);
  clock.elapsed(200, 400);
  const TimeScale scale = clock.settle(facts(210));
  CHECK(scale.at(0) == 0);
  CHECK(scale.at(50) == 75);
  CHECK(scale.at(150) == 275);
  CHECK(scale.duration_s() == 420);  // the tail keeps the pace of the whole
  CHECK(scale.at(1e9) == 420);
  CHECK(scale.spread == 0.1);
}

TEST_CASE("a stated total fits the elapsed times or is left out") {
  JobClock clock;
  clock.elapsed(100, 200);
  CHECK(clock.settle(facts(110, 205.0, "TIME")).duration_s() == 205);
  CHECK(clock.settle(facts(110, 6666.0, "TIME")).duration_s() == 220);
}

TEST_CASE("elapsed times that go back are no elapsed times") {
  JobClock clock;
  clock.elapsed(100, 150);
  clock.elapsed(200, 140);
  CHECK(clock.settle(facts(200, 300.0, "TIME")).at(100) == 150);
}

TEST_CASE("a stated total stretches the raw time") {
  const TimeScale scale = JobClock().settle(facts(100, 300.0, "TIME on line 2"));
  CHECK(scale.at(50) == 150);
  CHECK(scale.duration_s() == 300);
  CHECK(scale.source == "the slicer's total (TIME on line 2)");
}

// Ten minutes at even pace, M73 written when the printed number changes.
TEST_CASE("remaining minutes are read whatever way they are rounded") {
  const struct {
    const char* label;
    double total_s;
    double first;
    double shift;  // minutes really left when the number falls to n: n + shift
  } rows[] = {{"down", 645, 10, 1}, {"up", 620, 11, 0}, {"nearest", 610, 10, 0.5}};
  for (const auto& row : rows) {
    INFO(row.label);
    JobClock clock;
    for (double n = row.first; n >= 0; --n) {
      const double left_s = (n + row.shift) * 60;
      const double at_s = n == row.first ? 0 : row.total_s - left_s;
      clock.remaining(at_s / 2, n);  // the feeds alone say half
      clock.remaining(at_s / 2 + 1, n);
    }
    const TimeScale scale = clock.settle(facts(row.total_s / 2, row.total_s, "total"));
    for (const double raw : {60.0, 150.0, 299.0}) {
      CHECK(scale.at(raw) == Approx(2 * raw).margin(0.01));
    }
  }
}

TEST_CASE("remaining minutes alone state the total") {
  JobClock clock;
  clock.remaining(0, 20);
  const TimeScale scale = clock.settle(facts(600));
  CHECK(scale.duration_s() == 1200);
  CHECK(scale.source == "the remaining minutes in the job's M73 lines");
}

TEST_CASE("the plan alone is said to be so, and whose limits it takes") {
  TimeFacts plan = facts(500);
  plan.planned = {{0, 0}, {100, 300}, {500, 800}};
  const TimeScale scale = JobClock().settle(plan);
  CHECK(scale.duration_s() == 800);
  CHECK(scale.at(50) == 150);
  CHECK(scale.spread == 0.3);
  CHECK(scale.source == "the moves, planned with the defaults");
  plan.limits_stated = true;
  CHECK(JobClock().settle(plan).spread == 0.1);
}

TEST_CASE("anchors stand in planned time, so that the plan gives the shape between") {
  JobClock clock;
  clock.elapsed(100, 200);
  clock.elapsed(200, 400);
  TimeFacts plan = facts(200);
  plan.planned = {{0, 0}, {50, 90}, {100, 100}, {200, 200}};
  CHECK(clock.settle(plan).at(50) == 180);
}

TEST_CASE("a plan alone is asked for, or a total is given") {
  JobClock clock;
  clock.elapsed(100, 200);
  TimeFacts plan = facts(100, 205.0, "TIME");
  plan.anchored = false;
  CHECK(clock.settle(plan).duration_s() == 100);
  plan.given_s = 333;
  CHECK(clock.settle(plan).duration_s() == 333);
  CHECK(clock.settle(plan).source == "the total that was given");
}
