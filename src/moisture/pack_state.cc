#include "moisture/pack_state.h"

#include <algorithm>

namespace drydepth {
double layer_content(const PackModel& model, const PackState& state, int layer) {
  // Weighted by section, so that in equation 5 only the flux at the surface changes it.
  double mean = 0.0;
  for (int j = 0; j < model.shells; ++j) {
    mean += model.shell_share[index(j)] * state.y.content(j)[layer];
  }
  return mean;
}

double water_kg(const PackModel& model, const PackState& state) {
  const double solid = model.winding.fill * model.winding.density_kg_m3;
  const double gap = 1.0 - model.winding.fill;
  double sum = 0.0;
  for (int i = 0; i < state.layers; ++i) {
    // What equations 5 and 6 of docs/model.md keep: f rho X + (1 - f) w per volume.
    sum += model.volume_m3[index(i)] *
           (solid * layer_content(model, state, i) + gap * state.y.vapour()[i]);
  }
  return sum;
}

double remaining_mass_kg(const PackModel& model, const PackState& state, int layer) {
  const double whole = layer_mass_kg(model.winding, layer);
  return layer == state.layers - 1 ? whole - state.consumed_kg : whole;
}

double remaining_mass_kg(const PackModel& model, const PackState& state) {
  double sum = 0.0;
  for (int i = 0; i < state.layers; ++i) sum += remaining_mass_kg(model, state, i);
  return sum;
}

double mean_content(const PackModel& model, const PackState& state) {
  double water = 0.0, mass = 0.0;
  for (int i = 0; i < state.layers; ++i) {
    const double m = remaining_mass_kg(model, state, i);
    water += m * layer_content(model, state, i);
    mass += m;
  }
  return mass > 0 ? water / mass : 0.0;
}

double outer_content(const PackModel& model, const PackState& state, double mass_kg) {
  double water = 0.0, mass = 0.0;
  for (int i = state.layers - 1; i >= 0; --i) {
    const double m =
        std::min(remaining_mass_kg(model, state, i), std::max(0.0, mass_kg - mass));
    const double content = layer_content(model, state, i);
    if (mass_kg <= 0) return content;
    water += m * content;
    mass += m;
  }
  return mass > 0 ? water / mass : 0.0;
}

double surface_content(const PackModel& model, const PackState& state, int layer) {
  const double t_k = state.y.temperature()[layer];
  const double saturated = saturated_vapour(t_k).concentration_kg_m3;
  // Equations 1, 3 and 5 of docs/model.md.
  const double a = std::min(1.0, state.y.vapour()[layer] / saturated);
  return equilibrium_content(model.polymer, a, t_k);
}

void drop_layer(const PackModel& model, PackState& state) {
  const double before = water_kg(model, state);
  --state.layers;  // Equation 11: it keeps its full thickness until now.
  state.consumed_kg = 0.0;
  state.step_s = 0.0;  // the next layer meets the air
  state.removed_kg += before - water_kg(model, state);
}

void take_from_outside(const PackModel& model, double mass_kg, PackState& state) {
  while (state.layers > 0 && mass_kg > 0) {
    const double left = remaining_mass_kg(model, state, state.layers - 1);
    if (mass_kg < left) {
      state.consumed_kg += mass_kg;
      return;
    }
    mass_kg -= left;
    drop_layer(model, state);
  }
}

}  // namespace drydepth
