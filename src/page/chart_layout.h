#pragma once

#include <string>
#include <vector>

#include "page/chart.h"
#include "page/svg.h"

namespace drydepth {

constexpr double kLabelHeight = 15;
constexpr double kLabelStart = 20;  // from the plot's right side, room for leaders

// The inner area and the axes that span it.
struct Plot {
  FittedAxis x, y;
  double left = 0, right = 0, top = 0, bottom = 0;
  bool titles_beside = false;  ///< x titles right of their ticks, not below them

  double px(double value) const {
    return left + share_along(x, value) * (right - left);
  }
  double py(double value) const {
    return bottom - share_along(y, value) * (bottom - top);
  }
  Spot at(double vx, double vy) const { return {px(vx), py(vy)}; }
};

// An upright rule's name, above the plot.
struct TopLabel {
  double x = 0;
  std::string text;
  std::size_t row = 0;
};

/// Fits the axes to the data and leaves room for every label.
Plot lay_out(const Chart& chart);

/// Upright rules' names in as many rows as it takes that none runs into the next.
std::vector<TopLabel> top_labels(const Chart& chart, const Plot& plot);

}  // namespace drydepth
