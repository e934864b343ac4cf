#include "page/chart.h"

#include <algorithm>
#include <cmath>

#include "base/markup.h"
#include "page/chart_layout.h"
#include "page/chart_style.h"
#include "page/spread.h"
#include "page/svg.h"

namespace drydepth {
namespace {

// Beyond these, marks are smaller, so that a row of them hides nothing.
constexpr std::size_t kFewMarks = 12;

// A name and the place it names.
struct EndLabel {
  Spot end;
  std::string text;
};

std::string styled(std::string_view kind, int style) {
  const std::string name(kind);
  return name + " " + name + std::to_string(std::clamp(style, 0, kChartStyles - 1));
}

bool finite(const ChartPoint& p) { return std::isfinite(p.x) && std::isfinite(p.y); }

// What the ticks below a level count.
std::string x_title(const Plot& plot, double level, const std::string& title) {
  if (plot.titles_beside) {
    return svg_text("title", {plot.right + kLabelStart, level + 16}, Anchor::kStart,
                    title);
  }
  return svg_text("title", {(plot.left + plot.right) / 2, level + 33}, Anchor::kMiddle,
                  title);
}

std::string axes(const Chart& chart, const Plot& plot) {
  std::string out;
  for (const Tick& tick : plot.y.ticks) {
    const double y = plot.py(tick.at);
    out += svg_line("grid", {plot.left, y}, {plot.right, y});
    out += svg_text("tick", {plot.left - 6, y + 4}, Anchor::kEnd, tick.label);
  }
  double taken = -1e9;
  for (const Tick& tick : plot.x.ticks) {
    const double x = plot.px(tick.at);
    out += svg_line("grid", {x, plot.top}, {x, plot.bottom});
    const double half = text_width(tick.label) / 2;
    if (x - half < taken + 6) continue;
    taken = x + half;
    out += svg_text("tick", {x, plot.bottom + 16}, Anchor::kMiddle, tick.label);
  }
  out += svg_line("frame", {plot.left, plot.bottom}, {plot.right, plot.bottom});
  out += svg_line("frame", {plot.left, plot.top}, {plot.left, plot.bottom});
  out += svg_text("title", {4, 14}, Anchor::kStart, chart.y.title);
  out += x_title(plot, plot.bottom, chart.x.title);
  if (!chart.second_x) return out;
  const double level = plot.bottom + (plot.titles_beside ? 22 : 40);
  out += svg_line("frame", {plot.left, level}, {plot.right, level});
  taken = -1e9;
  for (const Tick& tick : chart.second_x->ticks) {
    const double x = plot.px(tick.at);
    const double half = text_width(tick.label) / 2;
    if (x > plot.right + 1 || x < plot.left - 1) continue;
    out += svg_line("frame", {x, level}, {x, level + 4});
    if (x - half < taken + 6) continue;
    taken = x + half;
    out += svg_text("tick", {x, level + 16}, Anchor::kMiddle, tick.label);
  }
  return out + x_title(plot, level, chart.second_x->title);
}

std::string band_path(const ChartBand& band, const Plot& plot) {
  std::vector<Spot> spots;
  const auto usable = [](const ChartBand::Slice& s) {
    return std::isfinite(s.x) && std::isfinite(s.low) && std::isfinite(s.high);
  };
  for (const auto& s : band.slices) {
    if (usable(s)) spots.push_back(plot.at(s.x, s.high));
  }
  for (auto s = band.slices.rbegin(); s != band.slices.rend(); ++s) {
    if (usable(*s)) spots.push_back(plot.at(s->x, s->low));
  }
  if (spots.size() < 4) return {};
  return svg_path(styled("band", band.style), spots, true);
}

// A disc, a square, a diamond, a triangle: by style.
std::string mark_shape(Spot c, int style, double r) {
  const std::string css = styled("mark", style);
  switch (style) {
    case 0:
      return "<circle class=\"" + css + "\" cx=\"" + pixels(c.x) + "\" cy=\"" +
             pixels(c.y) + "\" r=\"" + pixels(r) + "\"/>\n";
    case 1:
      return svg_box(css + " hollow", {c.x - r, c.y - r}, 2 * r, 2 * r);
    case 2:
      return svg_path(css,
                      {{c.x, c.y - r - 1},
                       {c.x + r + 1, c.y},
                       {c.x, c.y + r + 1},
                       {c.x - r - 1, c.y}},
                      true);
    default:
      return svg_path(
          css + " hollow",
          {{c.x, c.y - r - 1}, {c.x + r + 1, c.y + r}, {c.x - r - 1, c.y + r}}, true);
  }
}

// A bar with a foot at each end.
std::string error_bar(Spot from, Spot to, int style) {
  const std::string css = styled("mark", style);
  const bool level = from.y == to.y;
  const double fx = level ? 0 : 4, fy = level ? 4 : 0;
  return svg_line(css, from, to) +
         svg_line(css, {from.x - fx, from.y - fy}, {from.x + fx, from.y + fy}) +
         svg_line(css, {to.x - fx, to.y - fy}, {to.x + fx, to.y + fy});
}

std::string marks_of(const ChartMarks& group, const Plot& plot) {
  std::string out;
  const double r = group.marks.size() > kFewMarks ? 2.2 : 3.4;
  for (const auto& m : group.marks) {
    if (!finite({m.x, m.y})) continue;
    if (m.x_range && finite(*m.x_range)) {
      out += error_bar(plot.at(m.x_range->x, m.y), plot.at(m.x_range->y, m.y),
                       group.style);
    }
    if (m.y_range && finite(*m.y_range)) {
      out += error_bar(plot.at(m.x, m.y_range->x), plot.at(m.x, m.y_range->y),
                       group.style);
    }
    out += mark_shape(plot.at(m.x, m.y), group.style, r);
  }
  return out;
}

std::string data(const Chart& chart, const Plot& plot) {
  std::string out;
  for (const ChartBand& band : chart.bands) out += band_path(band, plot);
  for (const ChartRule& rule : chart.rules) {
    const double x = plot.px(rule.at), y = plot.py(rule.at);
    out += rule.along == RuleAlong::kX
               ? svg_line("rule", {plot.left, y}, {plot.right, y})
               : svg_line("rule", {x, plot.top}, {x, plot.bottom});
  }
  for (const ChartLine& line : chart.lines) {
    std::vector<Spot> spots;
    for (const ChartPoint& p : line.points) {
      if (finite(p)) spots.push_back(plot.at(p.x, p.y));
    }
    if (spots.size() > 1) out += svg_path(styled("line", line.style), spots, false);
  }
  for (const ChartMarks& group : chart.marks) out += marks_of(group, plot);
  return out;
}

std::vector<EndLabel> end_labels(const Chart& chart, const Plot& plot) {
  std::vector<EndLabel> out;
  const auto add = [&](Spot end, const std::string& text) {
    if (text.empty()) return;
    end.x = std::clamp(end.x, plot.left, plot.right);
    end.y = std::clamp(end.y, plot.top, plot.bottom);
    out.push_back({end, text});
  };
  for (const ChartLine& line : chart.lines) {
    const auto last = std::find_if(line.points.rbegin(), line.points.rend(), finite);
    if (last != line.points.rend()) add(plot.at(last->x, last->y), line.label);
  }
  for (const ChartMarks& group : chart.marks) {
    const auto last = std::find_if(group.marks.rbegin(), group.marks.rend(),
                                   [](const ChartMarks::Mark& m) {
                                     return finite({m.x, m.y});
                                   });
    if (last != group.marks.rend()) {
      const double right = last->x_range ? last->x_range->y : last->x;
      add({plot.px(right) + 5, plot.py(last->y)}, group.label);
    }
  }
  for (const ChartRule& rule : chart.rules) {
    if (rule.along == RuleAlong::kX) add({plot.right, plot.py(rule.at)}, rule.label);
  }
  return out;
}

std::string labels(const Chart& chart, const Plot& plot) {
  std::string out;
  const std::vector<EndLabel> ends = end_labels(chart, plot);
  std::vector<double> wanted;
  for (const EndLabel& label : ends) wanted.push_back(label.end.y);
  const std::vector<double> level =
      spread_apart(wanted, kLabelHeight, plot.top + 4, plot.bottom - 4);
  for (std::size_t k = 0; k < ends.size(); ++k) {
    const Spot to{plot.right + kLabelStart - 3, level[k]};
    out += svg_line("leader", {ends[k].end.x + 2, ends[k].end.y}, to);
    out += svg_text("name", {to.x + 3, to.y + 4}, Anchor::kStart, ends[k].text);
  }
  for (const TopLabel& label : top_labels(chart, plot)) {
    const double row = static_cast<double>(label.row);
    out += svg_text("name", {label.x, plot.top - 10 - kLabelHeight * row},
                    Anchor::kMiddle, label.text);
  }
  return out;
}

}  // namespace

std::string chart_svg(const Chart& chart) {
  const Plot plot = lay_out(chart);
  const std::string id = xml_escaped(chart.id);
  const std::string w = pixels(chart.width), h = pixels(chart.height);
  std::string out =
      "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"dd-chart\" width=\"" + w +
      "\" height=\"" + h + "\" viewBox=\"0 0 " + w + " " + h +
      "\" role=\"img\" aria-labelledby=\"" + id + "-title " + id + "-desc\">\n";
  out += "<title id=\"" + id + "-title\">" + xml_escaped(chart.title) + "</title>\n";
  out += "<desc id=\"" + id + "-desc\">" + xml_escaped(chart.description) + "</desc>\n";
  out += "<style>\n" + chart_style() + "</style>\n";
  out += "<clipPath id=\"" + id + "-plot\">" +
         svg_box("clip", {plot.left - 5, plot.top - 5}, plot.right - plot.left + 10,
                 plot.bottom - plot.top + 10) +
         "</clipPath>\n";
  out += svg_box("ground", {0, 0}, chart.width, chart.height);
  out += axes(chart, plot);
  out += "<g clip-path=\"url(#" + id + "-plot)\">\n" + data(chart, plot) + "</g>\n";
  return out + labels(chart, plot) + "</svg>\n";
}

}  // namespace drydepth
