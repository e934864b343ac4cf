#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>

#include "gcode/machine/limits.h"

namespace drydepth {

enum class MoveKind : std::uint8_t { kPrint, kTravel, kRetract };

/// How far X, Y, Z and E travel. Single precision: it bounds speeds, and no length is
/// made of it.
using Direction = std::array<float, kAxisCount>;

/// A move as the planner sees it: a path with a direction at either end.
struct Motion {
  double length_mm = 0;  ///< of the path; of the filament where only that moves
  double speed_mm_s = 0;
  double radius_mm = 0;  ///< of an arc; 0 for a straight path
  MoveKind kind = MoveKind::kTravel;
  Direction enter = {};  ///< travel if the whole path went as it begins, mm
  Direction leave = {};  ///< the same as it ends; equal to enter on a straight path
};

/// Limits as they are used: inverse, 0 for none.
struct StepLimits {
  explicit StepLimits(const MotionLimits& limits);

  MotionLimits given;
  Direction inverse_speed = {};
  Direction inverse_accel = {};
  Direction inverse_jerk = {};
  std::array<float, 3> kind_inverse_accel = {};  // by MoveKind
  std::array<float, 3> kind_slowest = {};
};

/// Moves in a row, an array for each of their properties, so that loops over them treat
/// several at once. Speeds are kept squared: over a distance d they change by 2 a d,
/// without a root.
struct Steps {
  static constexpr std::size_t kMost = 512;
  // Rows of a power of two would all fall on the same few lines of the cache.
  static constexpr std::size_t kRow = kMost + 16;
  using Row = std::array<float, kRow>;

  std::array<double, kRow> clock_s;
  Row length_mm, radius_mm;
  std::array<MoveKind, kRow> kind;
  std::array<Row, kAxisCount> enter, leave;  // as given; once limited, of length 1
  Row cruise;                                // as asked for; once limited, as it may be
  // Once limited:
  Row inverse_accel;  // at first of the kind; 0 for none
  Row accel;          // infinite for none
  Row gain2;          // 2 a d
  Row start, stop;    // speed had at once from rest, and lost at once
  Row even2;          // at most, between the ramps
  Row most_start2;    // at the corner before it

  void set(std::size_t i, const Motion& motion, double clock,
           const StepLimits& limits) {
    clock_s[i] = clock;
    length_mm[i] = static_cast<float>(motion.length_mm);
    radius_mm[i] = static_cast<float>(motion.radius_mm);
    kind[i] = motion.kind;
    // In words, not in a loop, so that the motion itself need never be in memory.
    enter[0][i] = motion.enter[0];
    enter[1][i] = motion.enter[1];
    enter[2][i] = motion.enter[2];
    enter[3][i] = motion.enter[3];
    leave[0][i] = motion.leave[0];
    leave[1][i] = motion.leave[1];
    leave[2][i] = motion.leave[2];
    leave[3][i] = motion.leave[3];
    const auto k = static_cast<std::size_t>(motion.kind);
    cruise[i] = std::max(static_cast<float>(motion.speed_mm_s), limits.kind_slowest[k]);
    inverse_accel[i] = limits.kind_inverse_accel[k];
  }
  /// Drops the first `count` of `size` steps.
  void drop(std::size_t count, std::size_t size);
};

/// What steps [from, to) may do whatever lies before and behind them, and the speed at
/// the corner before each. Step 0 begins at rest.
void limit_steps(Steps& steps, std::size_t from, std::size_t to,
                 const StepLimits& limits);

}  // namespace drydepth
