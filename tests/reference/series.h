#pragma once

// Closed forms of linear diffusion, for the checks: Crank, The Mathematics of
// Diffusion, 2nd ed. 1975 (equation numbers in the tests). Their roots and values carry
// the digits shown in the tests, worked out apart in 30-digit arithmetic.

#include "moisture/pack_solver.h"
#include "moisture/pack_state.h"

namespace drydepth::series {

/// A polymer with a straight isotherm and constant diffusivity: the equations of the
/// pack are then linear while the temperature stands still.
inline Polymer linear_polymer(double diffusivity_m2_s, double slope) {
  return {.density_kg_m3 = 1000,
          .heat_capacity_j_kg_k = 1500,
          .isotherm_slope = slope,
          .diffusivity_ref_m2_s = diffusivity_m2_s};
}

inline constexpr double kTemperatureK = 296.15;

/// An annulus of `layers` layers between two radii.
inline Winding annulus(double inner_m, double outer_m, int layers, double fill) {
  Winding w{.strand_diameter_m = (outer_m - inner_m) / layers,
            .hub_radius_m = inner_m,
            .outer_radius_m = outer_m,
            .width_m = 0.05,
            .fill = fill,
            .density_kg_m3 = 1000};
  for (int i = 0; i <= layers; ++i) {
    w.edges_m.push_back(inner_m + (outer_m - inner_m) * i / layers);
  }
  return w;
}

/// Flanges that hold the pack at the air's temperature.
inline PackProperties isothermal(double gap_factor) {
  return {.gap_factor = gap_factor, .side_w_m2k = 1e12};
}

inline Surroundings dry_air(double film_w_m2k) {
  return {.air = {kTemperatureK, 0.0}, .film_w_m2k = film_w_m2k};
}

/// D_app = g D_va/((1-f) + f rho k/c_sat), of a pack whose strands follow at once.
inline double apparent_diffusivity_m2_s(const PackModel& model) {
  const double f = model.winding.fill;
  const double per_gap = model.winding.density_kg_m3 * model.polymer.isotherm_slope /
                         saturated_vapour(kTemperatureK).concentration_kg_m3;
  return model.properties.gap_factor * vapour_diffusivity_m2_s(kTemperatureK) /
         (1 - f + f * per_gap);
}

}  // namespace drydepth::series
