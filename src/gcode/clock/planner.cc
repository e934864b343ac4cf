#include "gcode/clock/planner.h"

#include <algorithm>
#include <cmath>

// Each move is a trapezoid of speed: up, even, down. Where two moves meet, the corner
// bounds the speed; going back over the queue from a stop at its end, no move may start
// faster than it can brake to its end; going forward, none may end faster than it can
// reach. Both passes are sums of squared speeds, v_f^2 = v_i^2 + 2 a d. Sources of the
// formulas: Klipper's Kinematics.md (trapezoid, square corner, cruise ratio); S. Jeon,
// "Improving Grbl: Cornering Algorithm", 2011 (junction deviation); Marlin's and
// Prusa's documents (jerk by axis).
//
// A job has millions of moves, and a root or a quotient takes longer than all else done
// to one. Work is therefore done queue by queue in loops whose rounds do not wait for
// each other. Single precision does: a move's time takes its share of rounding, and the
// shares do not add up.

namespace drydepth {

void Planner::set_limits(const MotionLimits& limits) {
  prepare();
  limits_ = StepLimits(limits);
}

/// Applies the limits in force to the steps that wait for it.
void Planner::prepare() {
  if (prepared_ < size_) limit_steps(queue_, prepared_, size_, limits_);
  prepared_ = size_;
}

/// Lowers the top of each rise and fall of speed to what it reaches with the smaller
/// acceleration, and the corners beside it. The ways up and down stay as steep as ever.
void Planner::smooth(std::size_t count) {
  Steps& s = queue_;
  const auto part = static_cast<float>(1 - limits_.given.cruise_ratio);
  const auto gain2 = [&](std::size_t i) { return part * s.gain2[i]; };
  const auto cruise2 = [&](std::size_t i) { return s.cruise[i] * s.cruise[i]; };
  std::array<bool, kQueue> rises;
  start2_[size_] = 0;
  for (std::size_t i = size_; i-- > 0;) {
    start2_[i] = std::min(s.most_start2[i], start2_[i + 1] + gain2(i));
  }
  float before2 = front_smooth2_;
  float hill2 = front_hill2_;
  for (std::size_t i = 0; i < size_; ++i) {
    if (i == count) {
      front_smooth2_ = before2;
      front_hill2_ = hill2;
    }
    const float after2 = std::min(start2_[i + 1], before2 + gain2(i));
    const float reach2 = (before2 + after2 + gain2(i)) / 2;
    rises[i] = after2 > before2;
    s.even2[i] = std::min(cruise2(i), reach2);
    if (after2 < before2) s.even2[i] = std::max(s.even2[i], hill2);
    hill2 = s.even2[i];
    before2 = after2;
  }
  for (std::size_t i = size_; i-- > 0;) {
    if (rises[i] && i + 1 < size_) s.even2[i] = std::max(s.even2[i], s.even2[i + 1]);
    s.even2[i] = std::min(s.even2[i], cruise2(i));
    corner2_[i] = std::min(s.most_start2[i], s.even2[i]);
    if (i + 1 < size_) corner2_[i + 1] = std::min(corner2_[i + 1], s.even2[i]);
  }
}

/// Back from a stop at the queue's end: no step may start faster than it can brake.
void Planner::brake(const float* most_start2) {
  const float stop = size_ > 0 ? queue_.stop[size_ - 1] : 0;
  float end2 = stop * stop;
  start2_[size_] = end2;
  for (std::size_t i = size_; i-- > 0;) {
    start2_[i] = end2 = std::min(most_start2[i], end2 + queue_.gain2[i]);
  }
}

/// Forward from where the last plan ended: no step may end faster than it can reach.
void Planner::speed_up(std::size_t count) {
  float front2 = front_rests_ ? start2_[0] : front_speed2_;
  start2_[0] = front2;
  for (std::size_t i = 0; i < count; ++i) {
    start2_[i + 1] = front2 = std::min(start2_[i + 1], front2 + queue_.gain2[i]);
  }
  front_speed2_ = front2;
  front_rests_ = front_rests_ && count == 0;
}

/// The time of each step, several at once.
void Planner::reckon(std::size_t count) {
  const Steps& s = queue_;
  Steps::Row time_s;
  Steps::Row start;
  for (std::size_t i = 0; i <= count; ++i) start[i] = std::sqrt(start2_[i]);
  for (std::size_t i = 0; i < count; ++i) {
    const float ends2 = start2_[i] + start2_[i + 1];
    const float peak2 = std::min(s.even2[i], (ends2 + s.gain2[i]) / 2);
    const float peak = std::sqrt(peak2);
    const float ramps_mm =
        (2 * peak2 - start2_[i] - start2_[i + 1]) * s.inverse_accel[i] / 2;
    // Where the ramps take all of the path, nothing but rounding is left between them.
    const float even_mm = std::max(s.length_mm[i] - ramps_mm, 0.0f);
    time_s[i] =
        (2 * peak - start[i] - start[i + 1]) * s.inverse_accel[i] + even_mm / peak;
  }
  double planned_s = planned_s_;
  double last_s = anchors_.back().raw_s;
  for (std::size_t i = 0; i < count; ++i) {
    planned_s += static_cast<double>(time_s[i]);
    if (s.clock_s[i] - last_s < grid_s_) continue;
    planned_s_ = planned_s;
    clock_s_ = s.clock_s[i];
    anchor();
    last_s = anchors_.back().raw_s;
  }
  planned_s_ = planned_s;
  if (count > 0) clock_s_ = s.clock_s[count - 1];
}

/// Fixes the speeds of the first `count` steps, whatever may follow the queue.
void Planner::plan(std::size_t count) {
  prepare();
  const bool smooths = limits_.given.cruise_ratio > 0;
  if (smooths) smooth(count);
  brake(smooths ? corner2_.data() : queue_.most_start2.data());
  speed_up(count);
  reckon(count);
  queue_.drop(count, size_);
  size_ -= count;
  prepared_ = size_;
}

/// Keeps the planned time of this moment. Beyond kMostAnchors every second one goes and
/// the grid doubles.
void Planner::anchor() {
  if (clock_s_ <= anchors_.back().raw_s) return;
  anchors_.reserve(kMostAnchors + 1);
  anchors_.push_back({clock_s_, planned_s_});
  if (anchors_.size() <= kMostAnchors) return;
  grid_s_ *= 2;
  std::size_t kept = 0;
  for (std::size_t i = 0; i < anchors_.size(); i += 2) anchors_[kept++] = anchors_[i];
  anchors_.resize(kept);
}

void Planner::rest(double dwell_s, double clock_s) {
  plan(size_);
  anchor();
  front_rests_ = true;
  front_speed2_ = front_smooth2_ = front_hill2_ = 0;
  planned_s_ += dwell_s;
  clock_s_ = std::max(clock_s_, clock_s);
  if (clock_s_ - anchors_.back().raw_s >= grid_s_) anchor();
}

std::vector<TimeAnchor> Planner::finish(double clock_s) {
  rest(0, clock_s);
  anchor();
  return std::move(anchors_);
}

}  // namespace drydepth
