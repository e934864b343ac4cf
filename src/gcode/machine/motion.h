#pragma once

#include <cmath>
#include <optional>

namespace drydepth {

/// A position or a displacement of the nozzle, millimetres.
struct Point {
  double x = 0;
  double y = 0;
  double z = 0;
};

/// The path of a move: its length and its direction (of length 1) at either end.
struct Path {
  double length_mm = 0;
  double radius_mm = 0;  ///< of an arc; 0 where the path is no arc
  Point enter;
  Point leave;
};

/// A circular move G2 or G3 in the XY plane, or a helix where Z changes. Other planes
/// are this one with their axes renamed.
struct Arc {
  Point travel;            ///< from start to end
  double centre_x_mm = 0;  ///< I and J: from the start to the centre
  double centre_y_mm = 0;
  std::optional<double> radius_mm;  ///< R, instead of I and J; negative: the long way
  bool clockwise = false;
  int extra_turns = 0;  ///< whole turns besides the stated arc
};

/// A cubic curve G5 in the XY plane; Z goes along evenly.
struct Bezier {
  Point travel;         ///< from start to end
  Point first_handle;   ///< I and J: from the start
  Point second_handle;  ///< P and Q: from the end
};

inline double line_length_mm(const Point& t) {
  return std::sqrt(t.x * t.x + t.y * t.y + t.z * t.z);
}

/// With a centre, an end that equals the start is a full circle; with a radius it is no
/// move. A radius shorter than half the chord is taken as half the chord, as
/// controllers do for rounding errors.
Path arc_path(const Arc& arc);

/// Length to 1e-6 of itself for curves that do not double back within a sixteenth.
Path bezier_path(const Bezier& curve);

}  // namespace drydepth
