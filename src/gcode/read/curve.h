#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "gcode/read/trace.h"

namespace drydepth {

/// Where in the job a move stands.
struct JobPlace {
  std::uint64_t line = 0;
  std::uint32_t layer = 0;
};

/// The consumption of one tool, as few points as tell it: one each kGridMm of filament,
/// one at each layer, one where it rests and one where it goes on. Beyond kMostPoints
/// the grid doubles, so that memory stays bounded whatever the job.
class ToolCurve {
 public:
  static constexpr double kGridMm = 50;
  static constexpr std::size_t kMostPoints = 4096;

  /// A move of this tool: net lengths in mm, with and without the flow factor.
  void take(double filament_mm, double unscaled_mm, double from_s, double to_s,
            JobPlace place) {
    net_ += filament_mm;
    unscaled_net_ += unscaled_mm;
    if (unscaled_net_ > unscaled_peak_) unscaled_peak_ = unscaled_net_;
    if (net_ > peak_) rise(from_s, to_s, place);
  }
  /// A layer begins; its filament is told apart from the last one's.
  void begin_layer(double time_s, JobPlace place);

  double peak_mm() const { return peak_; }
  double net_mm() const { return net_; }
  double unscaled_peak_mm() const { return unscaled_peak_; }
  /// All points, the last one at the peak. Times as given to take().
  std::vector<TracePoint> finish();
  /// The layers known so far turned out to be none.
  void forget_layers();

 private:
  void rise(double from_s, double to_s, JobPlace place);
  void add(double time_s, double length_mm, JobPlace place);
  void thin();

  double net_ = 0;
  double peak_ = 0;
  double unscaled_net_ = 0;
  double unscaled_peak_ = 0;
  double next_point_ = kGridMm;
  double grid_ = kGridMm;
  double smallest_step_ = 0;  // between points that are not on the grid
  double rise_s_ = 0;         // end of the last move that raised the peak
  JobPlace rise_place_;
  std::vector<TracePoint> points_;
};

}  // namespace drydepth
