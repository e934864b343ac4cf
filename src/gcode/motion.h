#pragma once

#include <optional>

namespace drydepth {

/// A position or a displacement of the nozzle, millimetres.
struct Point {
  double x = 0;
  double y = 0;
  double z = 0;
};

/// A circular move G2 or G3 in the XY plane, or a helix where Z changes.
struct Arc {
  Point travel;            ///< from start to end
  double centre_x_mm = 0;  ///< I and J: from the start to the centre
  double centre_y_mm = 0;
  std::optional<double> radius_mm;  ///< R, instead of I and J; negative: the long way
  bool clockwise = false;
  int extra_turns = 0;  ///< whole turns besides the stated arc
};

double line_length_mm(const Point& travel);

/// Length of the path. With a centre, an end that equals the start is a full circle;
/// with a radius it is no move. A radius shorter than half the chord is taken as half
/// the chord, as controllers do for rounding errors.
double arc_length_mm(const Arc& arc);

}  // namespace drydepth
