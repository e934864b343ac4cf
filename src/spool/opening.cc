#include "spool/opening.h"

#include <algorithm>

#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// What is left of a winding of which some was taken from outside.
struct Left {
  int layers = 0;
  double consumed_kg = 0;  // of the outermost one
};

Left left_of(const Winding& winding, double gone_kg) {
  Left out{.layers = winding.layers()};
  while (out.layers > 0 && gone_kg > 0) {
    const double mass = layer_mass_kg(winding, out.layers - 1);
    if (gone_kg < mass) {
      out.consumed_kg = gone_kg;
      break;
    }
    gone_kg -= mass;
    --out.layers;
  }
  return out;
}

}  // namespace

double gone_at_opening_kg(const Winding& winding, const OpenedRecord& opened) {
  const double whole = dry_mass_kg(winding);
  if (opened.net_kg) return whole - *opened.net_kg;
  if (!opened.outer_diameter_m) return 0;
  const double r = *opened.outer_diameter_m / 2.0;
  const double hub = winding.hub_radius_m, outer = winding.outer_radius_m;
  const double share = (r * r - hub * hub) / (outer * outer - hub * hub);
  return whole * (1.0 - share);
}

int layers_at_opening(const Winding& winding, const OpenedRecord& opened) {
  return left_of(winding, gone_at_opening_kg(winding, opened)).layers;
}

double mean_of_layers(const Winding& winding, const OpenedRecord& opened) {
  const Left left = left_of(winding, gone_at_opening_kg(winding, opened));
  double water = 0, mass = 0;
  int layer = left.layers - 1;
  for (const double content : opened.layers) {
    if (layer < 0) break;
    const double taken = layer == left.layers - 1 ? left.consumed_kg : 0.0;
    const double m = layer_mass_kg(winding, layer) - taken;
    water += m * content;
    mass += m;
    --layer;
  }
  return mass > 0 ? water / mass : 0.0;
}

PackState opening_state(const PackSolver& solver, const OpenedRecord& opened,
                        double content, double offset, Kelvin temperature) {
  const PackModel& model = solver.model();
  const double saturated = saturation_content(model.polymer);
  const auto within = [&](double x) { return std::clamp(x + offset, 0.0, saturated); };
  const Left left = left_of(model.winding, gone_at_opening_kg(model.winding, opened));
  std::vector<double> by_layer(static_cast<std::size_t>(model.layers), within(content));
  for (std::size_t k = 0; k < opened.layers.size(); ++k) {
    const int layer = left.layers - 1 - static_cast<int>(k);
    if (layer < 0) break;  // refused by check_layers
    by_layer[static_cast<std::size_t>(layer)] = within(opened.layers[k]);
  }
  PackState state = solver.layered(by_layer, temperature);
  while (state.layers > left.layers) drop_layer(model, state);
  state.consumed_kg = left.consumed_kg;
  return state;
}

}  // namespace drydepth
