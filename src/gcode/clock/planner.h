#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "gcode/clock/clock.h"
#include "gcode/clock/steps.h"
#include "gcode/machine/limits.h"

namespace drydepth {

/// The time that a machine with limited acceleration takes for a row of moves.
class Planner {
 public:
  explicit Planner(const MotionLimits& limits) : limits_(limits) {}

  /// For the moves that follow.
  void set_limits(const MotionLimits& limits);
  /// Adds a move that ends when the caller's own clock shows clock_s.
  void add(const Motion& motion, double clock_s) {
    if (!(motion.length_mm > kShortestMm) || !(motion.speed_mm_s > 0)) return;
    if (size_ == kQueue) plan(kQueue - kAhead);
    queue_.set(size_++, motion, clock_s, limits_);
  }
  /// The machine comes to rest and stands for a while.
  void rest(double dwell_s, double clock_s);
  /// Comes to rest at the job's end. The planned time (true_s) at places of the
  /// caller's clock (raw_s), start and end among them.
  std::vector<TimeAnchor> finish(double clock_s);

 private:
  static constexpr double kShortestMm = 1e-9;
  // Enough to brake from any speed; the last kAhead steps wait for what follows.
  static constexpr std::size_t kQueue = Steps::kMost;
  static constexpr std::size_t kAhead = 192;
  static constexpr std::size_t kMostAnchors = 8192;
  void prepare();
  void smooth(std::size_t count);
  void brake(const float* most_start2);
  void speed_up(std::size_t count);
  void reckon(std::size_t count);
  void plan(std::size_t count);
  void anchor();

  StepLimits limits_;
  Steps queue_;
  std::size_t size_ = 0;
  std::size_t prepared_ = 0;  // steps whose own limits and corner are known
  Steps::Row start2_;         // square of the speed at the beginning of each step
  Steps::Row corner2_;        // most_start2, where short moves are smoothed
  float front_speed2_ = 0;
  float front_smooth2_ = 0;
  float front_hill2_ = 0;  // top of the rise and fall that goes on
  bool front_rests_ = true;

  double planned_s_ = 0;
  double clock_s_ = 0;
  double grid_s_ = 1;
  std::vector<TimeAnchor> anchors_ = {{0, 0}};
};

}  // namespace drydepth
