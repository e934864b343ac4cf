#include "gcode/clock/steps.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

// Sources of the formulas: planner.cc. Single precision does: a move's time takes its
// share of rounding, and the shares do not add up.

namespace drydepth {
namespace {

constexpr float kInfinity = std::numeric_limits<float>::infinity();
constexpr float kSlowestMmS = 1e-6f;  // keeps times finite

float inverse(double limit) { return limit > 0 ? static_cast<float>(1 / limit) : 0; }

Direction inverses(const Axes& limits) {
  Direction out;
  for (std::size_t a = 0; a < kAxisCount; ++a) out[a] = inverse(limits[a]);
  return out;
}

using Rows = std::array<Steps::Row, kAxisCount>;

float larger(float a, float b) { return a < b ? b : a; }
float smaller(float a, float b) { return b < a ? b : a; }

/// The largest |value| in units of its axis' limit.
float largest_share(const Rows& values, std::size_t i,
                    const Direction& inverse_limits) {
  return larger(larger(std::abs(values[0][i]) * inverse_limits[0],
                       std::abs(values[1][i]) * inverse_limits[1]),
                larger(std::abs(values[2][i]) * inverse_limits[2],
                       std::abs(values[3][i]) * inverse_limits[3]));
}

void scale_directions(Steps& s, std::size_t from, std::size_t to) {
  for (std::size_t i = from; i < to; ++i) {
    const float factor = 1 / s.length_mm[i];
    for (std::size_t a = 0; a < kAxisCount; ++a) {
      s.enter[a][i] *= factor;
      s.leave[a][i] *= factor;
    }
  }
}

void limit_accel(Steps& s, std::size_t from, std::size_t to, const StepLimits& limits) {
  const Direction most = limits.inverse_accel;
  for (std::size_t i = from; i < to; ++i) {
    s.inverse_accel[i] = larger(s.inverse_accel[i], largest_share(s.enter, i, most));
    s.accel[i] = 1 / s.inverse_accel[i];
    s.gain2[i] = 2 * s.accel[i] * s.length_mm[i];
  }
}

void limit_speed(Steps& s, std::size_t from, std::size_t to, const StepLimits& limits) {
  const Direction most = limits.inverse_speed;
  for (std::size_t i = from; i < to; ++i) {
    s.cruise[i] = smaller(s.cruise[i], 1 / largest_share(s.enter, i, most));
  }
  for (std::size_t i = from; i < to; ++i) {
    if (!(s.radius_mm[i] > 0)) continue;
    s.cruise[i] = std::min(s.cruise[i], std::sqrt(s.accel[i] * s.radius_mm[i]));
  }
  for (std::size_t i = from; i < to; ++i) {
    s.cruise[i] = larger(s.cruise[i], kSlowestMmS);
    s.even2[i] = s.cruise[i] * s.cruise[i];
  }
}

/// Speeds that are had from rest and lost at once.
void limit_rest(Steps& s, std::size_t from, std::size_t to, const StepLimits& limits) {
  const Direction most = limits.inverse_jerk;
  for (std::size_t i = from; i < to; ++i) {
    s.stop[i] = s.start[i] = smaller(s.cruise[i], 1 / largest_share(s.enter, i, most));
  }
  for (std::size_t i = from; i < to; ++i) {
    if (!(s.radius_mm[i] > 0)) continue;
    s.stop[i] = std::min(s.cruise[i], 1 / largest_share(s.leave, i, most));
  }
}

/// No axis changes its speed by more than its jerk. One that turns round passes through
/// rest, so that its two sides count one by one.
void corner_by_jerk(Steps& s, std::size_t from, std::size_t to,
                    const StepLimits& limits) {
  const Direction most = limits.inverse_jerk;
  for (std::size_t i = from; i < to; ++i) {
    Direction share;
    for (std::size_t a = 0; a < kAxisCount; ++a) {
      const float high = larger(s.leave[a][i - 1], s.enter[a][i]);
      const float low = smaller(s.leave[a][i - 1], s.enter[a][i]);
      share[a] = larger(high - larger(low, 0), smaller(high, 0) - low) * most[a];
    }
    const float largest =
        larger(larger(share[0], share[1]), larger(share[2], share[3]));
    const float cruise = smaller(s.cruise[i - 1], s.cruise[i]);
    const float speed =
        larger(smaller(cruise, 1 / largest), smaller(s.start[i], s.stop[i - 1]));
    s.most_start2[i] = speed * speed;
  }
}

/// sin(theta / 2) of the corner before step i, theta being pi straight on and 0 in a
/// reversal.
float half_angle_sine(const Steps& s, std::size_t i) {
  const float dot = s.leave[0][i - 1] * s.enter[0][i] +
                    s.leave[1][i - 1] * s.enter[1][i] +
                    s.leave[2][i - 1] * s.enter[2][i];
  return std::sqrt(std::clamp((1 + dot) / 2, 0.0f, 1.0f));
}

float deviation_speed2(const Steps& s, std::size_t i, const MotionLimits& limits) {
  const float sine = half_angle_sine(s, i);
  const float room =
      std::min(s.accel[i], s.accel[i - 1]) * static_cast<float>(limits.deviation_mm);
  return sine >= 1 ? kInfinity : room * sine / (1 - sine);
}

float square_speed2(const Steps& s, std::size_t i, const MotionLimits& limits) {
  const float sine = half_angle_sine(s, i);
  const auto corner = static_cast<float>(limits.square_corner_mm_s);
  float speed2 = kInfinity;
  if (sine < 1) {
    constexpr float kSquare = std::numbers::sqrt2_v<float> - 1;
    speed2 = corner * corner * kSquare * sine / (1 - sine);
    // A curve through the middles of both moves is all the room there is.
    const float tangent = sine / std::sqrt(1 - sine * sine);
    speed2 = std::min(speed2, std::min(s.gain2[i], s.gain2[i - 1]) * tangent / 4);
  }
  const float change = std::abs(s.enter[3][i] - s.leave[3][i - 1]);
  if (change > 0 && limits.extruder_corner_mm_s > 0) {
    const float extruder = static_cast<float>(limits.extruder_corner_mm_s) / change;
    speed2 = std::min(speed2, extruder * extruder);
  }
  return speed2;
}

void corner_by_angle(Steps& s, std::size_t from, std::size_t to,
                     const MotionLimits& limits) {
  const bool by_deviation = limits.corner == CornerRule::kDeviation;
  for (std::size_t i = from; i < to; ++i) {
    // E has no direction in space: beside a move of the filament alone all stands
    // still.
    if (s.kind[i - 1] == MoveKind::kRetract || s.kind[i] == MoveKind::kRetract) {
      s.most_start2[i] = 0;
      continue;
    }
    const float speed2 =
        by_deviation ? deviation_speed2(s, i, limits) : square_speed2(s, i, limits);
    s.most_start2[i] = std::min(
        {speed2, s.cruise[i] * s.cruise[i], s.cruise[i - 1] * s.cruise[i - 1]});
  }
}

}  // namespace

StepLimits::StepLimits(const MotionLimits& limits)
    : given(limits),
      inverse_speed(inverses(limits.speed_mm_s)),
      inverse_accel(inverses(limits.accel_mm_s2)),
      inverse_jerk(inverses(limits.jerk_mm_s)),
      kind_inverse_accel{inverse(limits.print_accel_mm_s2),
                         inverse(limits.travel_accel_mm_s2),
                         inverse(limits.retract_accel_mm_s2)},
      kind_slowest{static_cast<float>(limits.min_print_mm_s),
                   static_cast<float>(limits.min_travel_mm_s),
                   static_cast<float>(limits.min_travel_mm_s)} {}

void Steps::drop(std::size_t count, std::size_t size) {
  const auto shift = [count, size](auto& row) {
    std::move(row.begin() + static_cast<std::ptrdiff_t>(count),
              row.begin() + static_cast<std::ptrdiff_t>(size), row.begin());
  };
  shift(clock_s);
  shift(kind);
  for (Row& row : enter) shift(row);
  for (Row& row : leave) shift(row);
  for (Row* row : {&length_mm, &radius_mm, &cruise, &inverse_accel, &accel, &gain2,
                   &start, &stop, &even2, &most_start2}) {
    shift(*row);
  }
}

void limit_steps(Steps& steps, std::size_t from, std::size_t to,
                 const StepLimits& limits) {
  scale_directions(steps, from, to);
  limit_accel(steps, from, to, limits);
  limit_speed(steps, from, to, limits);
  const bool by_jerk = limits.given.corner == CornerRule::kJerk;
  if (by_jerk) {
    limit_rest(steps, from, to, limits);
  } else {
    std::fill(&steps.start[from], &steps.start[to], 0.0f);
    std::fill(&steps.stop[from], &steps.stop[to], 0.0f);
  }
  if (from == 0) steps.most_start2[from] = steps.start[from] * steps.start[from];
  const std::size_t first = std::max<std::size_t>(from, 1);
  if (by_jerk) {
    corner_by_jerk(steps, first, to, limits);
  } else {
    corner_by_angle(steps, first, to, limits.given);
  }
}

}  // namespace drydepth
