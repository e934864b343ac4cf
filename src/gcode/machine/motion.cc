#include "gcode/machine/motion.h"

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

/// The stated centre, or the one that fits the radius.
Point centre_of(const Arc& arc) {
  if (!arc.radius_mm) return {arc.centre_x_mm, arc.centre_y_mm, 0};
  const double half_x = arc.travel.x / 2;
  const double half_y = arc.travel.y / 2;
  const double half2 = half_x * half_x + half_y * half_y;
  const double height2 = std::max(*arc.radius_mm * *arc.radius_mm - half2, 0.0);
  // Left of the chord for the short way round against the clock.
  const bool left = arc.clockwise == (*arc.radius_mm < 0);
  const double part = std::sqrt(height2 / half2) * (left ? 1 : -1);
  return {half_x - part * half_y, half_y + part * half_x, 0};
}

double length_xy(const Point& p) { return std::hypot(p.x, p.y); }

Point scaled_to(const Point& p, double length) {
  const double now = line_length_mm(p);
  const double factor = now > 0 ? length / now : 0;
  return {p.x * factor, p.y * factor, p.z * factor};
}

/// Derivative of the curve in its parameter, 0..1.
Point bezier_slope(const Bezier& b, double t) {
  const Point c1 = b.first_handle;
  const Point c2 = {b.travel.x + b.second_handle.x, b.travel.y + b.second_handle.y, 0};
  const double w0 = 3 * (1 - t) * (1 - t);
  const double w1 = 6 * t * (1 - t);
  const double w2 = 3 * t * t;
  return {w0 * c1.x + w1 * (c2.x - c1.x) + w2 * (b.travel.x - c2.x),
          w0 * c1.y + w1 * (c2.y - c1.y) + w2 * (b.travel.y - c2.y), b.travel.z};
}

}  // namespace

Path arc_path(const Arc& arc) {
  const double chord = length_xy(arc.travel);
  if (arc.radius_mm && chord == 0) {
    const Point up = scaled_to({0, 0, arc.travel.z}, 1);
    return {std::abs(arc.travel.z), 0, up, up};
  }
  Arc centred = arc;
  const Point centre = centre_of(arc);
  centred.centre_x_mm = centre.x;
  centred.centre_y_mm = centre.y;
  const double radius = length_xy(centre);
  double sweep = 0;
  if (arc.radius_mm) {
    sweep = 2 * std::asin(std::min(chord / 2 / radius, 1.0));
    if (*arc.radius_mm < 0) sweep = kTurn - sweep;
  } else {
    sweep = sweep_about_centre(centred);
  }
  sweep += kTurn * std::max(arc.extra_turns, 0);
  const double round_mm = radius * sweep;
  const double length = std::hypot(round_mm, arc.travel.z);
  if (!(length > 0)) return {};
  // A tangent stands across the spoke from the centre.
  const double side = (arc.clockwise ? -1 : 1) * round_mm / length;
  const double rise = arc.travel.z / length;
  const auto tangent = [&](double spoke_x, double spoke_y) {
    const double spoke = std::hypot(spoke_x, spoke_y);
    if (spoke == 0) return Point{0, 0, rise};
    return Point{-spoke_y / spoke * side, spoke_x / spoke * side, rise};
  };
  return {length, radius, tangent(-centre.x, -centre.y),
          tangent(arc.travel.x - centre.x, arc.travel.y - centre.y)};
}

// Gauss's rule of three points on each sixteenth.
Path bezier_path(const Bezier& curve) {
  constexpr int kParts = 16;
  constexpr double kHalf = 0.5 / kParts;
  const double offset = std::sqrt(0.6);
  Path path;
  for (int k = 0; k < kParts; ++k) {
    const double middle = (k + 0.5) / kParts;
    const double sum =
        5 * line_length_mm(bezier_slope(curve, middle - offset * kHalf)) +
        8 * line_length_mm(bezier_slope(curve, middle)) +
        5 * line_length_mm(bezier_slope(curve, middle + offset * kHalf));
    path.length_mm += sum / 9 * kHalf;
  }
  path.enter = scaled_to(bezier_slope(curve, 0), 1);
  path.leave = scaled_to(bezier_slope(curve, 1), 1);
  return path;
}

}  // namespace drydepth
