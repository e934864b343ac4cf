#include "gcode/read/curve.h"

#include <utility>

namespace drydepth {
namespace {

// A tool that does not rise for so long rests, and filament does not leave meanwhile.
constexpr double kRestS = 30;

}  // namespace

void ToolCurve::add(double time_s, double length_mm, JobPlace place) {
  const bool first = points_.empty();
  if (!first && length_mm <= points_.back().length_mm + smallest_step_) return;
  if (first) points_.reserve(kMostPoints + 1);
  points_.push_back({time_s, length_mm, place.line, place.layer});
  next_point_ = length_mm + grid_;
  if (points_.size() > kMostPoints) thin();
}

void ToolCurve::rise(double from_s, double to_s, JobPlace place) {
  const bool rested = from_s - rise_s_ > kRestS;
  if (points_.empty()) {
    add(from_s, 0, place);
  } else if (rested) {
    add(rise_s_, peak_, rise_place_);
  }
  peak_ = net_;
  rise_s_ = to_s;
  rise_place_ = place;
  if (rested || peak_ >= next_point_) add(to_s, peak_, place);
}

void ToolCurve::begin_layer(double time_s, JobPlace place) {
  if (points_.empty()) return;
  if (time_s - rise_s_ > kRestS) {
    add(rise_s_, peak_, rise_place_);
  } else {
    add(time_s, peak_, place);
  }
}

void ToolCurve::thin() {
  grid_ *= 2;
  smallest_step_ = grid_;
  std::size_t kept = 1;
  for (const TracePoint& point : points_) {
    const bool apart = point.length_mm > points_[kept - 1].length_mm + smallest_step_;
    if (apart) points_[kept++] = point;
  }
  points_.resize(kept);
  next_point_ = points_.back().length_mm + grid_;
}

void ToolCurve::forget_layers() {
  for (TracePoint& point : points_) point.layer = 0;
}

std::vector<TracePoint> ToolCurve::finish() {
  smallest_step_ = 0;
  add(rise_s_, peak_, rise_place_);
  return std::exchange(points_, {});
}

}  // namespace drydepth
