#include "gcode/motion.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "gcode/line.h"
#include "gcode/modal.h"

using namespace drydepth;

namespace {

constexpr double kPi = std::numbers::pi;

Move run(std::initializer_list<const char*> lines) {
  static const Dialect dialect;
  Modal modal(dialect, false, false, {});
  Command c;
  Move last;
  for (const char* line : lines) {
    parse_line(line, c);
    if (c.letter == 'G' && c.number <= 3) {
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
