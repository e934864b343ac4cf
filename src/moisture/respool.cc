#include "moisture/respool.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "moisture/pack_state.h"

namespace drydepth {

Winding rewound(const Winding& before, double dry_kg, const RewindFacts& facts) {
  WindingFacts out{.strand_diameter_m = before.strand_diameter_m,
                   .width_m = facts.width_m.value_or(before.width_m),
                   .density_kg_m3 = before.density_kg_m3,
                   .hub_radius_m = facts.hub_radius_m.value_or(before.hub_radius_m),
                   .outer_radius_m = facts.outer_radius_m,
                   .dry_mass_kg = dry_kg};
  if (!out.outer_radius_m) {
    // docs/model.md, "Geometry", solved for r_o at the fill before.
    const double section_m2 =
        dry_kg / (before.fill * before.density_kg_m3 * std::numbers::pi * out.width_m);
    out.outer_radius_m = std::sqrt(*out.hub_radius_m * *out.hub_radius_m + section_m2);
  }
  return make_winding(out);
}

PackState respool(const PackModel& from, const PackState& state, const PackModel& to,
                  const Air& air) {
  assert(from.shells == to.shells && state.layers > 0);
  PackState out = state;
  out.layers = to.layers;
  out.consumed_kg = 0;
  out.step_s = 0;
  out.y.shape(to.shells, to.layers);
  out.y.released() = state.y.released();
  out.y.chamber() = state.y.chamber();
  // Equation 13 of docs/model.md. Both windings are walked along the strand: the old
  // one inwards, the new one outwards. The last new layer takes what rounding leaves.
  int old_layer = state.layers - 1;
  double old_left = remaining_mass_kg(from, state, old_layer);
  for (int i = 0; i < to.layers; ++i) {
    const double mass = layer_mass_kg(to.winding, i);
    double open = mass;
    while (old_layer >= 0 && open > 0) {
      const double piece = std::min(open, old_left);
      for (int j = 0; j < to.shells; ++j) {
        // Mean by mass, shell by shell: keeps sum of m X.
        out.y.content(j)[i] += piece / mass * state.y.content(j)[old_layer];
      }
      open -= piece;
      old_left -= piece;
      if (old_left > 0) continue;
      --old_layer;
      if (old_layer >= 0) old_left = remaining_mass_kg(from, state, old_layer);
    }
    // Nothing left to wind but rounding of the masses: even out what is missing.
    if (open > 0 && open < mass) {
      for (int j = 0; j < to.shells; ++j) out.y.content(j)[i] *= mass / (mass - open);
    }
    // Equation 13: gaps take the room's air, the strand its temperature.
    out.y.vapour()[i] = air.vapour_kg_m3;
    out.y.temperature()[i] = air.temperature_k;
  }
  out.removed_kg += water_kg(from, state) - water_kg(to, out);
  return out;
}

}  // namespace drydepth
