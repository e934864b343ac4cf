#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "gcode/clock.h"
#include "gcode/limits.h"

namespace drydepth {

enum class MoveKind { kPrint, kTravel, kRetract };

/// How far X, Y, Z and E travel. Single precision, so that the four fit one register:
/// it bounds speeds, and no length is made of it.
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

/// The time that a machine with limited acceleration takes for a row of moves.
class Planner {
 public:
  explicit Planner(const MotionLimits& limits) { set_limits(limits); }

  /// For the moves that follow.
  void set_limits(const MotionLimits& limits);
  /// Adds a move that ends when the caller's own clock shows clock_s.
  void add(const Motion& motion, double clock_s) {
    if (!(motion.length_mm > kShortestMm) || !(motion.speed_mm_s > 0)) return;
    if (size_ == kQueue) plan(kQueue - kAhead);
    Step& step = queue_[size_++];
    step.length_mm = static_cast<float>(motion.length_mm);
    step.cruise = static_cast<float>(motion.speed_mm_s);
    step.radius_mm = static_cast<float>(motion.radius_mm);
    step.kind = motion.kind;
    step.enter = motion.enter;
    step.leave = motion.leave;
    step.clock_s = clock_s;
  }
  /// The machine comes to rest and stands for a while.
  void rest(double dwell_s, double clock_s);
  /// Comes to rest at the job's end. The planned time (true_s) at places of the
  /// caller's clock (raw_s), start and end among them.
  std::vector<TimeAnchor> finish(double clock_s);

 private:
  // Speeds are kept squared: over a distance d they change by 2 a d, without a root.
  struct Step {
    double clock_s = 0;
    float length_mm = 0;
    float radius_mm = 0;
    MoveKind kind = MoveKind::kTravel;
    float cruise = 0;  // as asked for, then as the limits leave it
    Direction enter = {};
    Direction leave = {};
    float accel = 0;          // infinite for none
    float inverse_accel = 0;  // 0 for none
    float gain2 = 0;          // 2 a d
    float start = 0;          // had at once from rest
    float stop = 0;           // lost at once
    float most_start2 = 0;    // at the corner before it
    // As planned:
    float even2 = 0;    // at most, between the ramps
    float corner2 = 0;  // most_start2, where short moves are smoothed
    float start2 = 0;
    bool rises = false;
  };
  static constexpr double kShortestMm = 1e-9;
  // Enough to brake from any speed; the last kAhead steps wait for what follows.
  static constexpr std::size_t kQueue = 512;
  static constexpr std::size_t kAhead = 192;
  static constexpr std::size_t kMostAnchors = 65536;
  struct Trapezoids {
    using Row = std::array<float, kQueue>;
    Row start2, end2, peak2, length_mm, inverse_accel, time_s;
    void reckon(std::size_t count);
  };

  void prepare();
  void limit(Step& step) const;
  float corner_speed2(const Step& last, const Step& step) const;
  float jerk_speed(const Step& last, const Step& step) const;
  float deviation_speed2(const Step& last, const Step& step) const;
  float square_speed2(const Step& last, const Step& step) const;
  void smooth(std::size_t count);
  void plan(std::size_t count);
  void settle(std::size_t count);
  void anchor();

  MotionLimits limits_;
  Direction inverse_speed_ = {};
  Direction inverse_accel_ = {};
  Direction inverse_jerk_ = {};
  std::array<float, 3> kind_inverse_accel_ = {};

  std::array<Step, kQueue> queue_;
  std::size_t size_ = 0;
  std::size_t prepared_ = 0;  // steps whose own limits and corner are known
  Step last_;                 // the step before the first that is not
  bool rests_ = true;         // nothing moved since the last rest
  Trapezoids out_ = {};
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
