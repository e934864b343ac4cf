#pragma once

// A chart as data, and the one function that draws it: a self-contained piece of SVG
// that stands in a page or in a file of its own. No legend: a line carries its name at
// its end. Lines differ by dashes and marks before they differ by colour, so that a
// photocopy still tells them apart; colours change with the reader's light or dark
// screen, print is always light.

#include <optional>
#include <string>
#include <vector>

#include "page/axis.h"

namespace drydepth {

/// How lines are told apart; a band and marks take the style of what they belong to.
constexpr int kChartStyles = 4;

struct ChartPoint {
  double x = 0, y = 0;
};

struct ChartLine {
  std::vector<ChartPoint> points;
  std::string label{};  ///< at the line's end; empty: none
  int style = 0;        ///< 0 .. kChartStyles - 1
};

/// How unsure a line is.
struct ChartBand {
  struct Slice {
    double x = 0, low = 0, high = 0;
  };
  std::vector<Slice> slices;
  int style = 0;
};

/// Single values, with what they are unsure by where that is given.
struct ChartMarks {
  struct Mark {
    double x = 0, y = 0;
    std::optional<ChartPoint> x_range{};  ///< from x to y of this pair
    std::optional<ChartPoint> y_range{};
  };
  std::vector<Mark> marks;
  std::string label{};  ///< beside the last mark; empty: none
  int style = 0;
};

enum class RuleAlong { kX, kY };

/// A thin line across the whole chart: a limit, or a moment.
struct ChartRule {
  RuleAlong along = RuleAlong::kX;  ///< kX: level, at a y; kY: upright, at an x
  double at = 0;
  std::string label{};
};

/// A second reading of the x axis, below it: the same places in another quantity.
struct SecondAxis {
  std::string title;
  std::vector<Tick> ticks;  ///< at values of the first axis
};

struct Chart {
  std::string id;           ///< unique on its page; letters, digits and hyphens
  std::string title;        ///< what a screen reader says first
  std::string description;  ///< what the picture shows, in a sentence or two
  Axis x{}, y{};
  std::optional<SecondAxis> second_x{};
  std::vector<ChartBand> bands{};
  std::vector<ChartLine> lines{};
  std::vector<ChartMarks> marks{};
  std::vector<ChartRule> rules{};
  double width = 640, height = 340;  ///< pixels
};

/// The chart as one <svg> element. Same chart, same bytes. Points that are not finite
/// are left out; what lies beyond a given end of an axis is cut off.
std::string chart_svg(const Chart& chart);

}  // namespace drydepth
