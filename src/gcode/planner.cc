#include "gcode/planner.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

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
namespace {

constexpr float kInfinity = std::numeric_limits<float>::infinity();
constexpr float kSlowestMmS = 1e-6f;  // keeps times finite

float inverse(double limit) { return limit > 0 ? static_cast<float>(1 / limit) : 0; }

Direction inverses(const Axes& limits) {
  Direction out;
  for (std::size_t a = 0; a < kAxisCount; ++a) out[a] = inverse(limits[a]);
  return out;
}

float largest(const Direction& d) {
  return std::max(std::max(d[0], d[1]), std::max(d[2], d[3]));
}

/// The largest |value| in units of its axis' limit.
float largest_share(const Direction& values, const Direction& inverse_limits) {
  Direction share;
  for (std::size_t a = 0; a < kAxisCount; ++a) {
    share[a] = std::abs(values[a]) * inverse_limits[a];
  }
  return largest(share);
}

void scale(Direction& direction, float factor) {
  for (float& axis : direction) axis *= factor;
}

/// sin(theta / 2) of the corner, theta being pi straight on and 0 in a reversal.
float half_angle_sine(const Direction& in, const Direction& out) {
  const float dot = in[0] * out[0] + in[1] * out[1] + in[2] * out[2];
  return std::sqrt(std::clamp((1 + dot) / 2, 0.0f, 1.0f));
}

}  // namespace

void Planner::set_limits(const MotionLimits& limits) {
  prepare();
  limits_ = limits;
  inverse_speed_ = inverses(limits.speed_mm_s);
  inverse_accel_ = inverses(limits.accel_mm_s2);
  inverse_jerk_ = inverses(limits.jerk_mm_s);
  kind_inverse_accel_ = {inverse(limits.print_accel_mm_s2),
                         inverse(limits.travel_accel_mm_s2),
                         inverse(limits.retract_accel_mm_s2)};
}

/// No axis changes its speed by more than its jerk. One that turns round passes through
/// rest, so that its two sides count one by one.
float Planner::jerk_speed(const Step& last, const Step& step) const {
  Direction share;
  for (std::size_t a = 0; a < kAxisCount; ++a) {
    const float high = std::max(last.leave[a], step.enter[a]);
    const float low = std::min(last.leave[a], step.enter[a]);
    share[a] = std::max(high - std::max(low, 0.0f), std::min(high, 0.0f) - low) *
               inverse_jerk_[a];
  }
  const float speed = std::min({last.cruise, step.cruise, 1 / largest(share)});
  return std::max(speed, std::min(step.start, last.stop));
}

float Planner::deviation_speed2(const Step& last, const Step& step) const {
  const float s = half_angle_sine(last.leave, step.enter);
  const float room =
      std::min(step.accel, last.accel) * static_cast<float>(limits_.deviation_mm);
  return s >= 1 ? kInfinity : room * s / (1 - s);
}

float Planner::square_speed2(const Step& last, const Step& step) const {
  const float s = half_angle_sine(last.leave, step.enter);
  const auto corner = static_cast<float>(limits_.square_corner_mm_s);
  float speed2 = kInfinity;
  if (s < 1) {
    constexpr float kSquare = std::numbers::sqrt2_v<float> - 1;
    speed2 = corner * corner * kSquare * s / (1 - s);
    // A curve through the middles of both moves is all the room there is.
    const float tangent = s / std::sqrt(1 - s * s);
    speed2 = std::min(speed2, std::min(step.gain2, last.gain2) * tangent / 4);
  }
  const float change = std::abs(step.enter[3] - last.leave[3]);
  if (change > 0 && limits_.extruder_corner_mm_s > 0) {
    const float extruder = static_cast<float>(limits_.extruder_corner_mm_s) / change;
    speed2 = std::min(speed2, extruder * extruder);
  }
  return speed2;
}

/// The square of the speed at the corner between two steps.
float Planner::corner_speed2(const Step& last, const Step& step) const {
  if (limits_.corner == CornerRule::kJerk) {
    const float speed = jerk_speed(last, step);
    return speed * speed;
  }
  // E has no direction in space: beside a move of the filament alone all stands still.
  if (last.kind == MoveKind::kRetract || step.kind == MoveKind::kRetract) return 0;
  const float speed2 = limits_.corner == CornerRule::kDeviation
                           ? deviation_speed2(last, step)
                           : square_speed2(last, step);
  return std::min({speed2, step.cruise * step.cruise, last.cruise * last.cruise});
}

/// What a step may do whatever lies before and behind it.
void Planner::limit(Step& step) const {
  scale(step.enter, 1 / step.length_mm);
  scale(step.leave, 1 / step.length_mm);
  step.inverse_accel =
      std::max(kind_inverse_accel_[static_cast<std::size_t>(step.kind)],
               largest_share(step.enter, inverse_accel_));
  step.accel = 1 / step.inverse_accel;
  step.gain2 = 2 * step.accel * step.length_mm;
  const bool prints = step.kind == MoveKind::kPrint;
  const double slowest = prints ? limits_.min_print_mm_s : limits_.min_travel_mm_s;
  const float most = 1 / largest_share(step.enter, inverse_speed_);
  step.cruise = std::min(std::max(step.cruise, static_cast<float>(slowest)), most);
  if (step.radius_mm > 0) {
    step.cruise = std::min(step.cruise, std::sqrt(step.accel * step.radius_mm));
  }
  step.cruise = std::max(step.cruise, kSlowestMmS);
  step.even2 = step.cruise * step.cruise;
  if (limits_.corner != CornerRule::kJerk) return;
  step.start = std::min(step.cruise, 1 / largest_share(step.enter, inverse_jerk_));
  step.stop = step.radius_mm > 0
                  ? std::min(step.cruise, 1 / largest_share(step.leave, inverse_jerk_))
                  : step.start;
}

/// Applies the limits in force to the steps that wait for it.
void Planner::prepare() {
  if (prepared_ == size_) return;
  for (std::size_t i = prepared_; i < size_; ++i) limit(queue_[i]);
  for (std::size_t i = prepared_; i < size_; ++i) {
    Step& step = queue_[i];
    const Step& last = i > prepared_ ? queue_[i - 1] : last_;
    step.most_start2 = rests_ ? step.start * step.start : corner_speed2(last, step);
    rests_ = false;
  }
  prepared_ = size_;
  last_ = queue_[size_ - 1];
}

/// Lowers the top of each rise and fall of speed to what it reaches with the smaller
/// acceleration, and the corners beside it. The ways up and down stay as steep as ever.
void Planner::smooth(std::size_t count) {
  const auto part = static_cast<float>(1 - limits_.cruise_ratio);
  const auto gain2 = [part](const Step& s) { return part * s.gain2; };
  float end2 = 0;
  for (std::size_t i = size_; i-- > 0;) {
    Step& step = queue_[i];
    step.start2 = end2 = std::min(step.most_start2, end2 + gain2(step));
  }
  float before2 = front_smooth2_;
  float hill2 = front_hill2_;
  for (std::size_t i = 0; i < size_; ++i) {
    Step& step = queue_[i];
    if (i == count) {
      front_smooth2_ = before2;
      front_hill2_ = hill2;
    }
    const float next2 = i + 1 < size_ ? queue_[i + 1].start2 : 0;
    const float after2 = std::min(next2, before2 + gain2(step));
    const float reach2 = (before2 + after2 + gain2(step)) / 2;
    step.rises = after2 > before2;
    step.even2 = std::min(step.cruise * step.cruise, reach2);
    if (after2 < before2) step.even2 = std::max(step.even2, hill2);
    hill2 = step.even2;
    before2 = after2;
  }
  for (std::size_t i = size_; i-- > 0;) {
    Step& step = queue_[i];
    if (step.rises && i + 1 < size_) {
      step.even2 = std::max(step.even2, queue_[i + 1].even2);
    }
    step.even2 = std::min(step.even2, step.cruise * step.cruise);
    step.corner2 = std::min(step.most_start2, step.even2);
    if (i + 1 < size_) {
      queue_[i + 1].corner2 = std::min(queue_[i + 1].corner2, step.even2);
    }
  }
}

/// The time of each step, four at once.
void Planner::Trapezoids::reckon(std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    const float start = std::sqrt(start2[i]);
    const float end = std::sqrt(end2[i]);
    const float peak = std::sqrt(peak2[i]);
    const float ramps_mm = (2 * peak2[i] - start2[i] - end2[i]) * inverse_accel[i] / 2;
    // Where the ramps take all of the path, nothing but rounding is left between them.
    const float even_mm = std::max(length_mm[i] - ramps_mm, 0.0f);
    time_s[i] = (2 * peak - start - end) * inverse_accel[i] + even_mm / peak;
  }
}

/// Fixes the speeds of the first `count` steps, whatever may follow the queue.
void Planner::plan(std::size_t count) {
  prepare();
  const bool smooths = limits_.cruise_ratio > 0;
  if (smooths) smooth(count);
  const float stop2 = last_.stop * last_.stop;
  float end2 = stop2;
  for (std::size_t i = size_; i-- > 0;) {
    Step& step = queue_[i];
    const float most2 = smooths ? step.corner2 : step.most_start2;
    step.start2 = end2 = std::min(most2, end2 + step.gain2);
  }
  float front2 = front_rests_ && size_ > 0 ? queue_[0].start2 : front_speed2_;
  for (std::size_t i = 0; i < count; ++i) {
    const Step& step = queue_[i];
    const float next2 = i + 1 < size_ ? queue_[i + 1].start2 : stop2;
    const float reached2 = std::min(next2, front2 + step.gain2);
    out_.start2[i] = front2;
    out_.end2[i] = reached2;
    out_.peak2[i] = std::min(step.even2, (front2 + reached2 + step.gain2) / 2);
    out_.length_mm[i] = step.length_mm;
    out_.inverse_accel[i] = step.inverse_accel;
    front2 = reached2;
  }
  front_speed2_ = front2;
  front_rests_ = front_rests_ && count == 0;
  out_.reckon(count);
  settle(count);
  std::move(queue_.begin() + static_cast<std::ptrdiff_t>(count),
            queue_.begin() + static_cast<std::ptrdiff_t>(size_), queue_.begin());
  size_ -= count;
  prepared_ = size_;
}

void Planner::settle(std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    planned_s_ += static_cast<double>(out_.time_s[i]);
    clock_s_ = queue_[i].clock_s;
    if (clock_s_ - anchors_.back().raw_s >= grid_s_) anchor();
  }
}

/// Keeps the planned time of this moment. Beyond kMostAnchors every second one goes and
/// the grid doubles.
void Planner::anchor() {
  if (clock_s_ <= anchors_.back().raw_s) return;
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
  rests_ = front_rests_ = true;
  front_speed2_ = front_smooth2_ = front_hill2_ = 0;
  last_ = {};
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
