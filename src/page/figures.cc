#include "page/figures.h"

#include <algorithm>

#include "base/numbers.h"
#include "report/words.h"

namespace drydepth {
namespace {

constexpr double kHour = kSecondsPerHour;

std::string limit_label(const SpoolReport& spool, Limit kind) {
  return percent_text(spool.of.limits[kind]) + " " + std::string(limit_name(kind));
}

void add_limits(const SpoolReport& spool, Chart& chart) {
  for (const Limit kind : kLimits) {
    chart.rules.push_back(
        {RuleAlong::kX, 100 * spool.of.limits[kind], limit_label(spool, kind)});
  }
}

// Grams that have left the spool at a time, or at a line, of the job.
template <class Before>
double grams_where(const SpoolReport& spool, const ToolTrace& tool, Before before) {
  double mm = 0;
  for (const TracePoint& p : tool.points) {
    if (!before(p)) break;
    mm = p.length_mm;
  }
  return 1e3 * mm * kg_per_mm(spool);
}

double grams_at(const SpoolReport& spool, const ToolTrace& tool, double time_s) {
  for (std::size_t k = 1; k < tool.points.size(); ++k) {
    const TracePoint &a = tool.points[k - 1], &b = tool.points[k];
    if (time_s > b.time_s) continue;
    const double part =
        b.time_s > a.time_s
            ? std::clamp((time_s - a.time_s) / (b.time_s - a.time_s), 0.0, 1.0)
            : 1.0;
    return 1e3 * (a.length_mm + part * (b.length_mm - a.length_mm)) * kg_per_mm(spool);
  }
  return 1e3 * tool.length_mm * kg_per_mm(spool);
}

const ToolTrace* tool_of(const Report& report, const SpoolReport& spool) {
  for (const ToolTrace& tool : report.job->tools) {
    if (tool.tool == spool.tool) return &tool;
  }
  return nullptr;
}

SecondAxis hours_axis(const Report& report, const SpoolReport& spool,
                      const ToolTrace& tool) {
  SecondAxis out{"h from start", {}};
  const double hours = std::max(report.job->duration_s / kHour, 0.1);
  const double step = round_step(hours, 8);
  const int decimals = step < 1 ? (step < 0.1 ? 2 : 1) : 0;
  for (int k = 0; k * step <= hours; ++k) {
    out.ticks.push_back(
        {grams_at(spool, tool, k * step * kHour), format_fixed(k * step, decimals)});
  }
  return out;
}

// Where the feed in use first passes the deciding limit: from early to late.
void add_crossing(const Report& report, const SpoolReport& spool,
                  const FeedReport& feed, Chart& chart) {
  const auto& crossing = feed.crossing[report.decides];
  if (!crossing[0]) return;
  const double early = 1e3 * crossing[0]->mass_kg;
  const double middle = crossing[1] ? 1e3 * crossing[1]->mass_kg : early;
  const double late = 1e3 * (crossing[2] ? crossing[2]->mass_kg : spool.needed_kg);
  ChartMarks::Mark mark{.x = middle, .y = 100 * spool.of.limits[report.decides]};
  if (!report.nominal) mark.x_range = ChartPoint{early, late};
  chart.marks.push_back({{mark}, "", 0});
}

// Edits at one place share a rule and its name.
void add_edits(const Report& report, const SpoolReport& spool, const ToolTrace& tool,
               Chart& chart) {
  const std::size_t first = chart.rules.size();
  for (const PlannedEdit& e : report.edits) {
    const double g = grams_where(
        spool, tool, [&](const TracePoint& p) { return p.line < e.edit.line; });
    const auto same = std::find_if(
        chart.rules.begin() + static_cast<std::ptrdiff_t>(first), chart.rules.end(),
        [&](const ChartRule& rule) { return rule.at == g; });
    if (same == chart.rules.end()) {
      chart.rules.push_back({RuleAlong::kY, g, e.edit.action});
    } else if (same->label.find(e.edit.action) == std::string::npos) {
      same->label += ", " + e.edit.action;
    }
  }
}

ChartBand band_of(const std::vector<ChartBand::Slice>& slices, int style) {
  return {slices, style};
}

// What the line of a feed shows, for a reader who does not see it.
std::string feed_in_words(const FeedReport& feed) {
  const std::vector<NozzleEstimate>& nozzle = feed.race.nozzle;
  if (nozzle.empty()) return {};
  return " " + std::string(feed_name(feed.feed())) + ": from " +
         percent_text(nozzle.front().content.p50) + " to " +
         percent_text(nozzle.back().content.p50) + ".";
}

void add_feed(const Report& report, const FeedReport& feed, int style, Chart& chart) {
  ChartLine line{
      .points = {},
      .label = std::string(feed_name(feed.feed())) + (feed.in_use ? ", in use" : ""),
      .style = style};
  std::vector<ChartBand::Slice> slices;
  for (const NozzleEstimate& row : feed.race.nozzle) {
    const double g = 1e3 * row.mass_kg;
    line.points.push_back({g, 100 * row.content.p50});
    slices.push_back({g, 100 * row.content.p10, 100 * row.content.p90});
  }
  chart.lines.push_back(std::move(line));
  if (feed.in_use && !report.nominal) chart.bands.push_back(band_of(slices, style));
}

std::string chart_id(const char* name, const SpoolReport& spool) {
  return std::string(name) + "-t" + std::to_string(spool.tool);
}

}  // namespace

Chart race_chart(const Report& report, const SpoolReport& spool) {
  Chart chart{.id = chart_id("race", spool),
              .title = "Moisture at the nozzle along the job",
              .description =
                  "Median moisture of the filament that arrives at the nozzle over the "
                  "grams printed, one line a feed, with the 10-90 % range of the feed "
                  "in use; the limits are level lines.",
              .x = {.title = "g printed",
                    .low = 0,
                    .high = std::max(1e3 * spool.needed_kg, 1e-3)},
              .y = {.title = "moisture at the nozzle, % of dry mass", .low = 0}};
  int style = 1;
  for (const FeedReport& feed : report.feeds) {
    if (feed.tool != spool.tool) continue;
    add_feed(report, feed, feed.in_use ? 0 : style++, chart);
    chart.description += feed_in_words(feed);
    if (feed.in_use) add_crossing(report, spool, feed, chart);
  }
  add_limits(spool, chart);
  if (const ToolTrace* tool = tool_of(report, spool)) {
    chart.second_x = hours_axis(report, spool, *tool);
    add_edits(report, spool, *tool, chart);
  }
  return chart;
}

Chart depth_chart(const Report& report, const SpoolReport& spool) {
  Chart chart{.id = chart_id("depth", spool),
              .title = "Moisture by depth in the spool",
              .description =
                  "Median moisture of the wound layers with its 10-90 % range, from "
                  "the outermost wrap at the left to the hub at the right.",
              .x = {.title = "g from outside",
                    .low = 0,
                    .high = std::max(1e3 * spool.now.remaining_kg, 1e-3)},
              .y = {.title = "moisture now, % of dry mass", .low = 0}};
  ChartLine line{.points = {}, .label = report.nominal ? "estimate" : "p50"};
  std::vector<ChartBand::Slice> slices;
  double above_kg = 0;
  for (const LayerEstimate& layer : spool.now.layers) {
    const double g = 1e3 * (above_kg + layer.mass_kg / 2);
    line.points.push_back({g, 100 * layer.content.p50});
    slices.push_back({g, 100 * layer.content.p10, 100 * layer.content.p90});
    above_kg += layer.mass_kg;
  }
  chart.lines = {line};
  if (!spool.now.layers.empty()) {
    chart.description += " From " + percent_text(spool.now.layers.front().content.p50) +
                         " to " + percent_text(spool.now.layers.back().content.p50) +
                         "; " + depth_text(report, spool, report.decides) + ".";
  }
  if (!report.nominal) chart.bands = {band_of(slices, 0)};
  const Percentiles& depth = spool.now.depth_kg[report.decides];
  ChartMarks::Mark mark{.x = 1e3 * depth.p50,
                        .y = 100 * spool.of.limits[report.decides]};
  if (!report.nominal) mark.x_range = ChartPoint{1e3 * depth.p10, 1e3 * depth.p90};
  chart.marks = {{{mark}, "", 0}};
  add_limits(spool, chart);
  if (spool.needed_kg > 0) {
    chart.rules.push_back({RuleAlong::kY, 1e3 * spool.needed_kg, "job's end"});
  }
  return chart;
}

std::optional<Chart> course_chart(const Report& report, const SpoolReport& spool,
                                  const LocalZone& zone) {
  if (!spool.course || spool.course->points.empty()) return std::nullopt;
  const Course& course = *spool.course;
  const Instant from = course.points.front().at, to = course.points.back().at;
  const auto hours = [&](Instant at) { return seconds_between(from, at) / kHour; };
  Chart chart{.id = chart_id("course", spool),
              .title = "What the scale should have shown, and what it did",
              .description =
                  "Gross weight foreseen by the model over time with its 10-90 "
                  "% range, and the weighings of the record.",
              .x = {.title = "h since " + moment_text(from, zone),
                    .low = 0,
                    .high = std::max(hours(to), 0.1)},
              .y = {.title = "gross weight, g"}};
  ChartLine line{.points = {}, .label = "model"};
  std::vector<ChartBand::Slice> slices;
  for (const CoursePoint& p : course.points) {
    line.points.push_back({hours(p.at), 1e3 * p.gross_kg.p50});
    slices.push_back({hours(p.at), 1e3 * p.gross_kg.p10, 1e3 * p.gross_kg.p90});
  }
  chart.lines = {line};
  if (!report.nominal) chart.bands = {band_of(slices, 0)};
  ChartMarks weighed{.marks = {}, .label = "weighed", .style = 1};
  for (const ScaleReading& r : spool.of.timeline.readings) {
    if (r.at < from || r.at > to) continue;
    const double g = 1e3 * r.gross_kg, sd = 1e3 * reading_sd_kg(r);
    weighed.marks.push_back(
        {.x = hours(r.at), .y = g, .y_range = ChartPoint{g - 2 * sd, g + 2 * sd}});
  }
  if (!weighed.marks.empty()) chart.marks = {weighed};
  if (course.dried_from) {
    chart.rules = {{RuleAlong::kY, hours(*course.dried_from), "dryer on"},
                   {RuleAlong::kY, hours(*course.dried_to), "off"}};
  }
  return chart;
}

}  // namespace drydepth
