#include "page/chart_layout.h"

#include <algorithm>
#include <cmath>

namespace drydepth {
namespace {

// Every value that an axis should hold.
struct Values {
  std::vector<double> x, y;

  void add(double vx, double vy) {
    if (!std::isfinite(vx) || !std::isfinite(vy)) return;
    x.push_back(vx);
    y.push_back(vy);
  }
};

Values values_of(const Chart& chart) {
  Values out;
  for (const ChartLine& line : chart.lines) {
    for (const ChartPoint& p : line.points) out.add(p.x, p.y);
  }
  for (const ChartBand& band : chart.bands) {
    for (const auto& s : band.slices) {
      if (!std::isfinite(s.low + s.high)) continue;
      out.add(s.x, s.low);
      out.add(s.x, s.high);
    }
  }
  for (const ChartMarks& group : chart.marks) {
    for (const auto& m : group.marks) {
      const ChartPoint xs = m.x_range.value_or(ChartPoint{m.x, m.x});
      const ChartPoint ys = m.y_range.value_or(ChartPoint{m.y, m.y});
      out.add(xs.x, ys.x);
      out.add(xs.y, ys.y);
      out.add(m.x, m.y);
    }
  }
  for (const ChartRule& rule : chart.rules) {
    (rule.along == RuleAlong::kX ? out.y : out.x).push_back(rule.at);
  }
  return out;
}

double widest(const std::vector<Tick>& ticks) {
  double out = 0;
  for (const Tick& tick : ticks) out = std::max(out, text_width(tick.label));
  return out;
}

// Room for the names at the right.
double label_room(const Chart& chart) {
  double out = 0;
  const auto take = [&](const std::string& label) {
    if (!label.empty()) out = std::max(out, text_width(label) + kLabelStart + 4);
  };
  for (const ChartLine& line : chart.lines) take(line.label);
  for (const ChartMarks& group : chart.marks) take(group.label);
  for (const ChartRule& rule : chart.rules) {
    if (rule.along == RuleAlong::kX) take(rule.label);
  }
  return std::max(out, 16.0);
}

std::size_t rows_of(const std::vector<TopLabel>& labels) {
  std::size_t out = 0;
  for (const TopLabel& label : labels) out = std::max(out, label.row + 1);
  return out;
}

}  // namespace

std::vector<TopLabel> top_labels(const Chart& chart, const Plot& plot) {
  std::vector<TopLabel> out;
  for (const ChartRule& rule : chart.rules) {
    if (rule.along != RuleAlong::kY || rule.label.empty()) continue;
    const double half = text_width(rule.label) / 2;
    // Not left of the plot, where the y axis has its topmost tick.
    const double least = plot.left + half;
    const double middle =
        std::clamp(plot.px(rule.at), least, std::max(least, chart.width - half - 2));
    out.push_back({middle, rule.label});
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const TopLabel& a, const TopLabel& b) { return a.x < b.x; });
  std::vector<double> row_ends;
  for (TopLabel& label : out) {
    const double half = text_width(label.text) / 2;
    while (label.row < row_ends.size() && label.x - half < row_ends[label.row] + 8) {
      ++label.row;
    }
    if (label.row == row_ends.size()) row_ends.push_back(0);
    row_ends[label.row] = label.x + half;
  }
  return out;
}

Plot lay_out(const Chart& chart) {
  const Values values = values_of(chart);
  Plot out{.x = fit_axis(chart.x, values.x, static_cast<int>(chart.width / 65)),
           .y = fit_axis(chart.y, values.y, static_cast<int>(chart.height / 45))};
  out.left = std::max(24.0, widest(out.y.ticks) + 10);
  const double room = label_room(chart);
  out.right = std::max(out.left + 60, chart.width - room);
  const double title = std::max(text_width(chart.x.title),
                                chart.second_x ? text_width(chart.second_x->title) : 0);
  out.titles_beside = title + kLabelStart <= room;
  const auto rows = static_cast<double>(rows_of(top_labels(chart, out)));
  out.top = (rows > 0 ? 28 : 24) + kLabelHeight * rows;
  const double line = out.titles_beside ? 22 : 40;
  out.bottom = chart.height - line - (chart.second_x ? line - 2 : 0);
  return out;
}

}  // namespace drydepth
