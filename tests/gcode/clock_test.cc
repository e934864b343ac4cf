#include "gcode/clock.h"

#include <catch2/catch.hpp>

using namespace drydepth;

TEST_CASE("elapsed times bend the raw time piece by piece") {
  JobClock clock;
  clock.elapsed(100, 150);
  clock.elapsed(200, 400);
  const TimeScale scale = clock.settle(210, std::nullopt, "");
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
  CHECK(clock.settle(110, 205.0, "TIME").duration_s() == 205);
  CHECK(clock.settle(110, 6666.0, "TIME").duration_s() == 220);
}

TEST_CASE("elapsed times that go back are no elapsed times") {
  JobClock clock;
  clock.elapsed(100, 150);
  clock.elapsed(200, 140);
  CHECK(clock.settle(200, 300.0, "TIME").at(100) == 150);
}

TEST_CASE("a stated total stretches the raw time") {
  const TimeScale scale = JobClock().settle(100, 300.0, "TIME on line 2");
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
    const TimeScale scale = clock.settle(row.total_s / 2, row.total_s, "total");
    for (const double raw : {60.0, 150.0, 299.0}) {
      CHECK(scale.at(raw) == Approx(2 * raw).margin(0.01));
    }
  }
}

TEST_CASE("remaining minutes alone state the total") {
  JobClock clock;
  clock.remaining(0, 20);
  const TimeScale scale = clock.settle(600, std::nullopt, "");
  CHECK(scale.duration_s() == 1200);
  CHECK(scale.source == "the remaining minutes in the job's M73 lines");
}

TEST_CASE("feeds alone are said to be so") {
  const TimeScale scale = JobClock().settle(500, std::nullopt, "");
  CHECK(scale.duration_s() == 500);
  CHECK(scale.spread == 0.3);
  CHECK(scale.source == "the feeds alone, since the job states no time");
}
