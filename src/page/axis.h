#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace drydepth {

enum class AxisScale { kLinear, kLog };

/// A quantity along one side of a chart. Where an end is not given, it follows from the
/// data, out to the next round number.
struct Axis {
  std::string title{};  ///< quantity and unit: "moisture, %"
  AxisScale scale = AxisScale::kLinear;
  std::optional<double> low{}, high{};
};

struct Tick {
  double at = 0;
  std::string label;  ///< may be empty
};

/// An axis with both ends and its ticks.
struct FittedAxis {
  AxisScale scale = AxisScale::kLinear;
  double low = 0, high = 1;
  std::vector<Tick> ticks{};
};

/// Fits an axis round values, with about `ticks` of them: linear in steps of 1, 2 or 5
/// times a power of ten, all labelled with as many decimals as the step has; log at
/// whole powers of ten, and at 2 and 5 times them where the axis spans two decades or
/// less. Values that are not finite, or not above 0 on a log axis, do not count;
/// without any value the axis runs from 0 (log: 1) to 1 (log: 10).
FittedAxis fit_axis(const Axis& axis, std::span<const double> values, int ticks);

/// Where a value stands along the axis: 0 at the low end, 1 at the high one, beyond
/// them outside. On a log axis what is not above 0 stands at the low end.
double share_along(const FittedAxis& axis, double value);

/// Step of a linear axis, 1, 2 or 5 times a power of ten, that cuts a range > 0 into at
/// most `pieces`.
double round_step(double range, int pieces);

}  // namespace drydepth
