#include "gcode/motion.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace drydepth {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;

/// Angle swept around the centre, 0 < sweep <= one turn.
double sweep_about_centre(const Arc& arc) {
  const double from_x = -arc.centre_x_mm;
  const double from_y = -arc.centre_y_mm;
  const double to_x = arc.travel.x - arc.centre_x_mm;
  const double to_y = arc.travel.y - arc.centre_y_mm;
  const double cross = from_x * to_y - from_y * to_x;
  const double dot = from_x * to_x + from_y * to_y;
  double sweep = std::atan2(cross, dot);
  if (arc.clockwise) sweep = -sweep;
  if (arc.travel.x == 0 && arc.travel.y == 0) return kTurn;
  return sweep <= 0 ? sweep + kTurn : sweep;
}

}  // namespace

double line_length_mm(const Point& t) {
  return std::sqrt(t.x * t.x + t.y * t.y + t.z * t.z);
}

double arc_length_mm(const Arc& arc) {
  double radius = 0;
  double sweep = 0;
  if (arc.radius_mm) {
    const double half_chord = std::hypot(arc.travel.x, arc.travel.y) / 2;
    radius = std::max(std::abs(*arc.radius_mm), half_chord);
    if (half_chord == 0) return std::abs(arc.travel.z);
    sweep = 2 * std::asin(half_chord / radius);
    if (*arc.radius_mm < 0) sweep = kTurn - sweep;
  } else {
    radius = std::hypot(arc.centre_x_mm, arc.centre_y_mm);
    sweep = sweep_about_centre(arc);
  }
  sweep += kTurn * std::max(arc.extra_turns, 0);
  return std::hypot(radius * sweep, arc.travel.z);
}

}  // namespace drydepth
