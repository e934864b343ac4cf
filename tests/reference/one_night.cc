#include "reference/one_night.h"

#include <cmath>

#include "moisture/consumption.h"
#include "moisture/pack_state.h"
#include "rules/bodies.h"
#include "spool/lay_out.h"
#include "spool/replay.h"

namespace drydepth::one_night {
namespace {

constexpr const char* kRecord = R"({"format": "drydepth-spool/1", "id": "told",
  "material": "pa6", "filament": {"diameter_mm": 1.75},
  "winding": {"hub_diameter_mm": 80, "width_mm": 55, "full_net_g": 1000},
  "body": {"kind": "plastic"},
  "opened": {"at": "2026-03-05T18:00:00Z", "temperature_c": 23,
             "moisture_percent": 2.6, "moisture_sd_percent": 0.1},
  "events": []})";

const HeaterAir kHeater{355.15, StatedAir{296.15, 0.45}, {}, {}};

Spool told_spool() {
  return *match_rules(*read_record(kRecord, "told.json"), *load_rules(), Instant{});
}

PackState begin(const PackSolver& solver, const Spool& told, const Member& member) {
  return solver.uniform(DryBasis{told.priors.opening_content + member.opening_content},
                        Kelvin{told.priors.opening_temperature_k});
}

double outer_content(const PackModel& model, const PackState& state, int layers) {
  double water = 0, mass = 0;
  for (int i = state.layers - layers; i < state.layers; ++i) {
    const double kg = layer_mass_kg(model.winding, i);
    water += kg * layer_content(model, state, i);
    mass += kg;
  }
  return water / mass;
}

struct Night {
  double mean = 0;
  Implied implied{};
};

Night night_with(Spool told, double gap_factor, double hours) {
  told.record.pack.gap_factor = gap_factor;
  PackSolver solver = spool_solver(told, {});
  const PackModel& model = solver.model();
  PackState state = begin(solver, told, {});
  solver.advance(state, surroundings(kHeater, true, told, {}), hours * kSecondsPerHour);
  return {mean_content(model, state),
          {gap_factor, outer_content(model, state, 1),
           dry_depth_kg(model, state, told.limits.cosmetic)}};
}

}  // namespace

std::vector<Moment> foreseen(const std::vector<double>& hours, std::size_t members) {
  const Spool told = told_spool();
  struct Samples {
    std::vector<double> mean, outermost, outer_three;
  };
  std::vector<Samples> samples(hours.size());
  for (const Member& member : draw_members(told.priors.spread, members, 1)) {
    PackSolver solver = spool_solver(told, member);
    const PackModel& model = solver.model();
    PackState state = begin(solver, told, member);
    const Surroundings around = surroundings(kHeater, true, told, member);
    double now = 0;
    for (std::size_t k = 0; k < hours.size(); ++k) {
      solver.advance(state, around, (hours[k] - now) * kSecondsPerHour);
      now = hours[k];
      samples[k].mean.push_back(mean_content(model, state));
      samples[k].outermost.push_back(outer_content(model, state, 1));
      samples[k].outer_three.push_back(outer_content(model, state, 3));
    }
  }
  std::vector<Moment> out;
  for (std::size_t k = 0; k < hours.size(); ++k) {
    out.push_back({hours[k], percentiles(samples[k].mean),
                   percentiles(samples[k].outermost),
                   percentiles(samples[k].outer_three)});
  }
  return out;
}

std::optional<Implied> implied(double hours) {
  const Spool told = told_spool();
  double low = 0.002, high = 1;
  if (night_with(told, low, hours).mean < kToldContent ||
      night_with(told, high, hours).mean > kToldContent) {
    return std::nullopt;
  }
  for (int k = 0; k < 24; ++k) {
    const double middle = std::sqrt(low * high);
    (night_with(told, middle, hours).mean > kToldContent ? low : high) = middle;
  }
  return night_with(told, std::sqrt(low * high), hours).implied;
}

}  // namespace drydepth::one_night
