#include <algorithm>
#include <cmath>

#include "reference/cylinder_series.h"
#include "reference/model_figures.h"
#include "reference/series_packs.h"

namespace drydepth::figures {
namespace {

using namespace series;

// From low to high in equal ratios.
std::vector<double> ratios(double low, double high, int count) {
  std::vector<double> out;
  for (int k = 0; k < count; ++k) {
    out.push_back(low * std::pow(high / low, k / (count - 1.0)));
  }
  return out;
}

constexpr double kNoFilm = 1e12;

}  // namespace

Figure strand_series() {
  Chart chart{.id = "strand-series",
              .title = "One strand drying: solver against the series",
              .description =
                  "Share of the water that has left a strand over dimensionless time. "
                  "Lines are the closed forms for no surface resistance and for "
                  "h a/D of 10 and 1; marks, from the solver with 14 shells, lie on "
                  "them."};
  chart.x = {.title = "D t/a², logarithmic", .scale = AxisScale::kLog, .high = 0.5};
  chart.y = {.title = "share of the water that has left", .low = 0, .high = 1};
  struct Row {
    double l;
    const char* label;
    int style;
  };
  for (const Row& row :
       {Row{0, "no resistance", 0}, {10, "h a/D = 10", 1}, {1, "h a/D = 1", 2}}) {
    const CylinderSeries exact = row.l == 0 ? CylinderSeries() : CylinderSeries(row.l);
    ChartLine line{.points = {}, .label = row.label, .style = row.style};
    for (const double t : ratios(0.001, 0.5, 60)) {
      line.points.push_back({t, exact.left(t)});
    }
    ChartMarks marks{.marks = {}, .style = row.style};
    LoneStrand strand(row.l == 0 ? kNoFilm : LoneStrand::film_for(row.l), 14);
    for (const double t : ratios(0.002, 0.4, 9)) {
      marks.marks.push_back({.x = t, .y = strand.left_at(t)});
    }
    chart.lines.push_back(std::move(line));
    chart.marks.push_back(std::move(marks));
  }
  return {"strand-series", chart};
}

Figure annulus_series() {
  Chart chart{.id = "annulus-series",
              .title = "A pack with quick strands: solver against the series",
              .description =
                  "Share of the water that remains in an annulus over dimensionless "
                  "time. Lines are closed forms: core sealed with outer over inner "
                  "radius 1.25 and 2, and core open with 2; marks, from the solver "
                  "with 30 layers, lie on them."};
  chart.x = {
      .title = "D t/(b - a)², logarithmic", .scale = AxisScale::kLog, .high = 0.3};
  chart.y = {.title = "share of the water that remains", .low = 0, .high = 1};
  struct Row {
    double k;
    Core core;
    const char* label;
    int style;
  };
  for (const Row& row : {Row{1.25, Core::kSealed, "sealed core, 1.25", 1},
                         {2, Core::kSealed, "sealed core, 2", 0},
                         {2, Core::kOpen, "open core, 2", 2}}) {
    const AnnulusSeries exact(row.k, row.core);
    ChartLine line{.points = {}, .label = row.label, .style = row.style};
    for (const double t : ratios(0.001, 0.3, 60)) {
      line.points.push_back({t, exact.mean_remaining(t)});
    }
    ChartMarks marks{.marks = {}, .style = row.style};
    QuickPack pack(row.k, 30, row.core == Core::kOpen);
    for (const double t : ratios(0.004, 0.24, 8)) {
      pack.to(t);
      marks.marks.push_back({.x = t, .y = pack.remaining()});
    }
    chart.lines.push_back(std::move(line));
    chart.marks.push_back(std::move(marks));
  }
  return {"annulus-series", chart};
}

Figure annulus_profile() {
  Chart chart{.id = "annulus-profile",
              .title = "Where the water is in a drying pack: solver against the series",
              .description =
                  "Share of the water that remains, over depth from the outer surface "
                  "to a sealed core of half its radius, at three dimensionless "
                  "times. Marks, from the solver with 30 layers, lie on the closed "
                  "forms; drying eats inwards from the surface."};
  chart.x = {
      .title = "depth below the surface, share of the winding", .low = 0, .high = 1};
  chart.y = {.title = "share of the water that remains", .low = 0, .high = 1};
  const AnnulusSeries exact(2, Core::kSealed);
  QuickPack pack(2, 30, false);
  struct Row {
    double t;
    const char* label;
    int style;
  };
  for (const Row& row :
       {Row{0.02, "D t/(b - a)² = 0.02", 0}, {0.1, "0.1", 1}, {0.5, "0.5", 2}}) {
    ChartLine line{.points = {}, .label = row.label, .style = row.style};
    for (int k = 0; k <= 100; ++k) {
      line.points.push_back({k / 100.0, exact.remaining_at(2 - k / 100.0, row.t)});
    }
    ChartMarks marks{.marks = {}, .style = row.style};
    pack.to(row.t);
    for (int layer = 1; layer < 30; layer += 4) {
      marks.marks.push_back({.x = 2 - pack.radius(layer), .y = pack.remaining(layer)});
    }
    chart.lines.push_back(std::move(line));
    chart.marks.push_back(std::move(marks));
  }
  return {"annulus-profile", chart};
}

Figure convergence() {
  Chart chart{.id = "convergence",
              .title = "How the error falls with finer shells and layers",
              .description =
                  "Worst error of the share of water against the closed forms, over "
                  "the number of shells in a strand and of layers in a pack, both "
                  "logarithmic. Both fall along a slope of minus two."};
  chart.x = {.title = "shells of a strand, or layers of a pack, logarithmic",
             .scale = AxisScale::kLog,
             .low = 5,
             .high = 250};
  chart.y = {.title = "worst error, share of the water, logarithmic",
             .scale = AxisScale::kLog};
  const std::vector<double> strand_times = {0.01, 0.05, 0.1, 0.25, 0.5, 1.0};
  const CylinderSeries cylinder;
  ChartLine shells{.points = {}, .label = "shells", .style = 0};
  for (const int count : {7, 14, 28, 56, 112}) {
    LoneStrand strand(kNoFilm, count);
    double worst = 0;
    for (const double t : strand_times) {
      worst = std::max(worst, std::abs(strand.left_at(t) - cylinder.left(t)));
    }
    shells.points.push_back({static_cast<double>(count), worst});
  }
  ChartLine layers{.points = {}, .label = "layers", .style = 1};
  const AnnulusSeries exact(2, Core::kSealed);
  for (const int count : {10, 20, 40, 80, 160}) {
    QuickPack pack(2, count, false);
    double worst = 0;
    for (const double t : {0.05, 0.2, 0.5, 1.0}) {
      pack.to(t);
      worst = std::max(worst, std::abs(pack.remaining() - exact.mean_remaining(t)));
    }
    layers.points.push_back({static_cast<double>(count), worst});
  }
  const double from = shells.points.front().y * 2;
  ChartLine slope{
      .points = {{7, from}, {112, from / 256}}, .label = "slope -2", .style = 2};
  for (const ChartLine* line : {&shells, &layers}) {
    ChartMarks marks{.marks = {}, .style = line->style};
    for (const ChartPoint& p : line->points)
      marks.marks.push_back({.x = p.x, .y = p.y});
    chart.marks.push_back(marks);
  }
  chart.lines = {shells, layers, slope};
  return {"convergence", chart};
}

}  // namespace drydepth::figures
