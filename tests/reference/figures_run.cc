#include <cmath>

#include "moisture/reference_run.h"
#include "reference/model_figures.h"
#include "reference/one_night.h"
#include "rules/materials.h"

namespace drydepth::figures {
namespace {

namespace run = reference_run;

constexpr double kCosmetic = 0.5;  // %, of pa6 in the rule files

struct Dryer {
  PackSolver solver{run::polymer(), run::winding(), run::pack()};
  PackState state = solver.uniform(DryBasis{run::kStartContent}, Kelvin{run::kRoomK});
  double now_h = 0;

  void to(double hours) {
    solver.advance(state, run::heater(82), (hours - now_h) * kSecondsPerHour);
    now_h = hours;
  }
  double percent(int from_outside) const {
    return 100 * run::from_outside(solver.model(), state, from_outside);
  }
};

}  // namespace

Figure isotherm() {
  const Material pa6 = *find_material(*load_materials(), "pa6", "figures");
  const Polymer polymer = to_polymer(pa6);
  Chart chart{.id = "isotherm",
              .title = "Isotherm of polyamide 6 and what is published",
              .description =
                  "Moisture in equilibrium with air of 23 C over its relative "
                  "humidity: the rule file's curve with one standard deviation of its "
                  "slope, and the published values with their range."};
  chart.x = {.title = "relative humidity, %", .low = 0, .high = 100};
  chart.y = {.title = "moisture in equilibrium, % of dry mass", .low = 0};
  const double spread = std::exp(pa6.isotherm.slope.log_sd.value_or(0));
  ChartLine line{.points = {}, .label = "pa6 at 23 C", .style = 0};
  ChartLine warm{.points = {}, .label = "the same at 82 C", .style = 1};
  ChartBand band{.slices = {}, .style = 0};
  for (int rh = 0; rh <= 100; ++rh) {
    const double x = 100 * equilibrium_content(polymer, rh / 100.0, 296.15);
    line.points.push_back({1.0 * rh, x});
    warm.points.push_back(
        {1.0 * rh, 100 * equilibrium_content(polymer, rh / 100.0, 355.15)});
    band.slices.push_back({1.0 * rh, x / spread, x * spread});
  }
  chart.lines = {line, warm};
  chart.bands = {band};
  const auto mark = [](double rh, double percent) {
    return ChartMarks::Mark{.x = rh, .y = percent};
  };
  chart.marks = {
      {.marks = {{.x = 50, .y = 2.8, .y_range = ChartPoint{2.5, 3.1}}},
       .label = "2.5-3.1 % (memory)",
       .style = 0},
      {.marks = {mark(60, 3.5)}, .label = "3.5 %, Toray", .style = 1},
      {.marks = {mark(95, 8.3)}, .label = "8.3 %, Mettler-Toledo", .style = 2}};
  return {"isotherm", chart};
}

Figure drying_profile() {
  Chart chart{.id = "drying-profile",
              .title = "Moisture by depth while the reference spool dries",
              .description =
                  "Moisture of the wound layers from the outermost to the hub after 1, "
                  "4, 7 and 12 h at 82 C. The outer layers are far drier than the "
                  "hub at every moment."};
  chart.x = {.title = "wound layer, from outside", .low = 0, .high = 30};
  chart.y = {.title = "moisture, % of dry mass", .low = 0, .high = 3};
  Dryer dryer;
  int style = 0;
  for (const double hours : {1.0, 4.0, 7.0, 12.0}) {
    dryer.to(hours);
    ChartLine line{.points = {},
                   .label = std::to_string(static_cast<int>(hours)) + " h",
                   .style = style++};
    for (int n = 1; n <= 30; ++n) line.points.push_back({n - 0.5, dryer.percent(n)});
    chart.lines.push_back(std::move(line));
  }
  chart.rules = {{RuleAlong::kX, kCosmetic, "0.5 %, cosmetic"}};
  return {"drying-profile", chart};
}

Figure scale_misleads() {
  Chart chart{.id = "scale-misleads",
              .title = "What a scale sees and what the printer gets",
              .description =
                  "Mean moisture of the reference spool over the hours of drying, "
                  "which is what a scale sees, against its outermost layer, a layer in "
                  "the middle and the one at the hub."};
  chart.x = {.title = "time in air of 82 C, h", .low = 0, .high = 24};
  chart.y = {.title = "moisture, % of dry mass", .low = 0, .high = 3};
  Dryer dryer;
  chart.lines = {{{}, "mean: the scale", 0},
                 {{}, "layer at the hub", 3},
                 {{}, "layer 15", 2},
                 {{}, "outermost layer", 1}};
  for (double hours = 0; hours <= 24.01; hours += 0.5) {
    dryer.to(hours);
    const double values[] = {100 * mean_content(dryer.solver.model(), dryer.state),
                             dryer.percent(30), dryer.percent(15), dryer.percent(1)};
    for (std::size_t k = 0; k < 4; ++k) {
      chart.lines[k].points.push_back({hours, values[k]});
    }
  }
  chart.rules = {{RuleAlong::kX, kCosmetic, "0.5 %, cosmetic"}};
  return {"scale-misleads", chart};
}

Figure nozzle() {
  Chart chart{.id = "nozzle",
              .title = "Moisture at the nozzle of the reference run",
              .description =
                  "Moisture of the filament that arrives at the nozzle over the grams "
                  "printed, from the same spool: standing in open air it passes both "
                  "0.5 and 0.75 %, in a live dryer it stays below them."};
  chart.x = {.title = "printed, g of dry polymer", .low = 0, .high = 450};
  chart.y = {.title = "moisture at the nozzle, % of dry mass", .low = 0};
  const double hours = run::kDrawnKg / run::kDrawKgPerHour;
  chart.second_x = SecondAxis{"time since the start, h", {}};
  for (int h = 0; h <= hours; h += 4) {
    chart.second_x->ticks.push_back({h * run::kDrawKgPerHour * 1e3, std::to_string(h)});
  }
  struct Row {
    const char* label;
    Surroundings feed;
    int style;
  };
  Dryer dryer;
  dryer.to(run::kDryingHours);
  for (const Row& row : {Row{"open air, 23 C, 45 %", run::open_air(), 0},
                         {"live dryer, 75 C", run::heater(75), 1}}) {
    PackSolver solver = dryer.solver;
    PackState state = dryer.state;
    ChartLine line{.points = {}, .label = row.label, .style = row.style};
    for (const NozzleSample& s :
         draw(solver, state, row.feed, run::draw_curve()).samples) {
      line.points.push_back({1e3 * s.mass_kg, 100 * s.content});
    }
    chart.lines.push_back(std::move(line));
  }
  chart.rules = {{RuleAlong::kX, kCosmetic, "0.5 %"}, {RuleAlong::kX, 0.75, "0.75 %"}};
  return {"nozzle", chart};
}

Figure one_night() {
  Chart chart{.id = "one-night",
              .title = "One night in the dryer: what the priors foresee, what is told",
              .description =
                  "Mean moisture of a nylon spool of 1 kg over the hours at 82 C, "
                  "median and 10-90 % range of the priors, with the outermost layer; "
                  "and the told mean of 1.6 % after 8 to 14 h."};
  chart.x = {.title = "time in air of 82 C, h", .low = 0, .high = 16};
  chart.y = {.title = "moisture, % of dry mass", .low = 0, .high = 3};
  std::vector<double> hours;
  for (int h = 0; h <= 16; ++h) hours.push_back(h);
  ChartLine mean{.points = {}, .label = "mean, p50", .style = 0};
  ChartLine outer{.points = {}, .label = "outermost layer, p50", .style = 1};
  ChartBand mean_band{.slices = {}, .style = 0}, outer_band{.slices = {}, .style = 1};
  for (const one_night::Moment& m : one_night::foreseen(hours, 64)) {
    mean.points.push_back({m.hours, 100 * m.mean.p50});
    mean_band.slices.push_back({m.hours, 100 * m.mean.p10, 100 * m.mean.p90});
    outer.points.push_back({m.hours, 100 * m.outermost.p50});
    outer_band.slices.push_back(
        {m.hours, 100 * m.outermost.p10, 100 * m.outermost.p90});
  }
  chart.lines = {mean, outer};
  chart.bands = {mean_band, outer_band};
  chart.marks = {{.marks = {{.x = one_night::kMiddleHours,
                             .y = 100 * one_night::kToldContent,
                             .x_range = ChartPoint{one_night::kEarliestHours,
                                                   one_night::kLatestHours}}},
                  .label = "told: 1.6 %",
                  .style = 2}};
  chart.rules = {{RuleAlong::kX, kCosmetic, "0.5 %, cosmetic"}};
  return {"one-night", chart};
}

std::vector<Figure> all_figures() {
  return {strand_series(),  annulus_series(), annulus_profile(),
          convergence(),    isotherm(),       drying_profile(),
          scale_misleads(), nozzle(),         one_night()};
}

}  // namespace drydepth::figures
