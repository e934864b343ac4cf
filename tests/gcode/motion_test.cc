#include "gcode/machine/motion.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "gcode/clock/timing.h"
#include "gcode/machine/line.h"
#include "gcode/machine/modal.h"

using namespace drydepth;

namespace {

constexpr double kPi = std::numbers::pi;

Move run(const std::vector<const char*>& lines) {
  static const Dialect dialect;
  Modal modal(dialect, false, false, {});
  Command c;
  Move last;
  for (const char* line : lines) {
    parse_line(line, c);
    if (c.letter == 'G' && (c.number <= 3 || c.number == 5)) {
      last = modal.move(c);
    } else {
      modal.apply(c);
    }
  }
  return last;
}

}  // namespace

// Exact by geometry: r times the angle, helix by Pythagoras.
TEST_CASE("arcs have their exact length") {
  const struct {
    const char* label;
    const char* line;
    double length;
  } rows[] = {
      {"quarter, counter-clockwise", "G3 X0 Y10 I-10 J0", 10 * kPi / 2},
      {"three quarters, clockwise", "G2 X0 Y10 I-10 J0", 10 * 3 * kPi / 2},
      {"half", "G3 X-10 Y0 I-10", 10 * kPi},
      {"full circle, end left out", "G3 I-10 J0", 10 * 2 * kPi},
      {"full circle, end stated", "G2 X10 Y0 I-10 J0", 10 * 2 * kPi},
      {"three turns", "G3 I-10 J0 P3", 10 * 6 * kPi},
      {"radius, short way", "G3 X0 Y10 R10", 10 * kPi / 2},
      {"radius, long way", "G3 X0 Y10 R-10", 10 * 3 * kPi / 2},
      {"radius, half, a hair too short", "G3 X-10 Y0 R9.9999", 10 * kPi},
      {"helix, full turn", "G3 I-10 J0 Z5", std::hypot(10 * 2 * kPi, 5)},
      {"helix, quarter", "G2 X0 Y-10 I-10 J0 Z-2", std::hypot(10 * kPi / 2, 2)},
      {"straight", "G1 X13 Y4 Z12", 13},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(run({"G1 X10 Y0 F600", row.line}).length_mm ==
          Approx(row.length).epsilon(1e-12));
  }
}

TEST_CASE("arcs lie in the plane that is chosen") {
  const struct {
    const char* label;
    std::initializer_list<const char*> lines;
    double length;
    Point enter;  // of length 1
  } rows[] = {
      {"XY against the clock", {"G3 X0 Y10 I-10 J0"}, 10 * kPi / 2, {0, 1, 0}},
      {"XY with it", {"G2 X0 Y-10 I-10 J0"}, 10 * kPi / 2, {0, -1, 0}},
      {"ZX against the clock", {"G18", "G3 X0 Z-10 I-10"}, 10 * kPi / 2, {0, 0, -1}},
      {"ZX, with a rise in Y",
       {"G18", "G3 X0 Y3 Z-10 I-10"},
       std::hypot(10 * kPi / 2, 3),
       {0, 3 / std::hypot(10 * kPi / 2, 3),
        -10 * kPi / 2 / std::hypot(10 * kPi / 2, 3)}},
      {"YZ, half, by radius", {"G19", "G3 Y20 R10"}, 10 * kPi, {0, 0, -1}},
      {"back to XY", {"G19", "G17", "G3 X0 Y10 I-10"}, 10 * kPi / 2, {0, 1, 0}},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    std::vector<const char*> lines = {"G1 X10 Y0 F600"};
    lines.insert(lines.end(), row.lines);
    const Move move = run(lines);
    CHECK(move.length_mm == Approx(row.length).epsilon(1e-12));
    CHECK(move.enter.x == Approx(row.enter.x * move.length_mm).margin(1e-9));
    CHECK(move.enter.y == Approx(row.enter.y * move.length_mm).margin(1e-9));
    CHECK(move.enter.z == Approx(row.enter.z * move.length_mm).margin(1e-9));
    CHECK(move.radius_mm == Approx(10));
  }
}

// A straight line and a parabola are cubic curves too, and have exact lengths: that of
// y = x^2 from 0 to 1 is sqrt(5)/2 + asinh(2)/4.
TEST_CASE("cubic curves have their length") {
  CHECK(run({"G1 X0 Y0 F600", "G5 X30 Y0 I10 J0 P-10 Q0"}).length_mm == Approx(30));
  const double parabola = std::sqrt(5.0) / 2 + std::asinh(2.0) / 4;
  const Move move =
      run({"G1 X0 Y0 F600", "G5 X1 Y1 I0.333333333 J0 P-0.333333333 Q-0.666666667"});
  CHECK(move.length_mm == Approx(parabola).epsilon(1e-6));
  CHECK(move.leave.y / move.leave.x == Approx(2).epsilon(1e-6));
  // Without I and J the curve goes on as the last one ended.
  const Move next =
      run({"G1 X0 Y0 F600", "G5 X1 Y1 I0.3 J0 P-0.3 Q-0.6", "G5 X2 Y2 P-0.3 Q0"});
  CHECK(next.enter.y / next.enter.x == Approx(2));
}

TEST_CASE("time is path over feed") {
  CHECK(run({"G1 X10 F600"}).time_s == Approx(1));
  CHECK(run({"G1 F1200", "G0 X10"}).time_s == Approx(0.5));
  CHECK(run({"M220 S50", "G1 X10 F600"}).time_s == Approx(2));
  CHECK(run({"M220 S50", "M220 B", "M220 S200", "M220 R", "G1 X10 F600"}).time_s ==
        Approx(2));
  CHECK(run({"G1 E-2 F2400"}).time_s == Approx(0.05));
  CHECK(run({"G20", "G1 X1 F60"}).time_s == Approx(1));
  CHECK(run({"G20", "G1 X1 F60"}).length_mm == Approx(25.4));
  CHECK(run({"G91", "G1 X3 F60", "G1 Y4"}).length_mm == Approx(4));
  CHECK(run({"G92 X5", "G1 X6 F60"}).length_mm == Approx(1));
  CHECK(run({"G1 X9 Y9 F60", "G28 X", "G1 X0 Y9"}).length_mm == 0);
  CHECK(run({"G1 X5"}).time_s == 0);
}

TEST_CASE("a dwell is P milliseconds and S seconds") {
  Command c;
  parse_line("G4 P1500", c);
  CHECK(dwell_s(c) == 1.5);
  parse_line("G4 S2", c);
  CHECK(dwell_s(c) == 2);
  parse_line("G4", c);
  CHECK(dwell_s(c) == 0);
}
