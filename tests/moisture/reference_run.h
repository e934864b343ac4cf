#pragma once

// The reference run of docs/model.md: an invented spool of a PA6-like strand, dried for
// 12 h in a vented heater, then printed from. Tests share it; no number here is
// measured.

#include <algorithm>
#include <cmath>
#include <vector>

#include "moisture/consumption.h"
#include "moisture/pack_solver.h"
#include "moisture/pack_state.h"

namespace drydepth::reference_run {

inline Polymer polymer() {
  return {.density_kg_m3 = 1130,
          .heat_capacity_j_kg_k = 1650,
          .isotherm_slope = 0.045,
          .isotherm_curvature = 0.53,
          .heat_of_mixing_j_mol = 0,
          .diffusivity_ref_m2_s = 2e-13,
          .diffusivity_ref_k = 296.15,
          .activation_j_mol = 55000,
          .plasticisation = 2.302585092994046};
}

/// 30 full layers of 1.75 mm on a hub of 80 mm, f = 0.72.
inline Winding winding(int layers = 30) {
  Winding w{.strand_diameter_m = 1.75e-3,
            .hub_radius_m = 0.040,
            .outer_radius_m = 0.040 + layers * 1.75e-3,
            .width_m = 0.055,
            .fill = 0.72,
            .density_kg_m3 = 1130};
  for (int i = 0; i <= layers; ++i) w.edges_m.push_back(0.040 + i * 1.75e-3);
  return w;
}

inline PackProperties pack() { return {}; }

inline constexpr double kStartContent = 0.028;
inline constexpr double kRoomK = 296.15;
inline constexpr double kDryingHours = 12;
inline constexpr double kDrawnKg = 0.450;
inline constexpr double kDrawKgPerHour = 0.020;

/// A vented heater in a room of 23 C/40 %.
inline Surroundings heater(double celsius, double room_humidity = 0.40) {
  return {.air = heated_air(Celsius{celsius}, Celsius{23}, Activity{room_humidity}),
          .film_w_m2k = 12};
}

/// Room air 23 C/45 %, with the film coefficient that the reference run keeps
/// throughout.
inline Surroundings open_air() {
  return {.air = make_air(Celsius{23}, Activity{0.45}), .film_w_m2k = 12};
}

inline std::vector<DrawPoint> draw_curve() {
  const double hours = kDrawnKg / kDrawKgPerHour;
  return {{0, 0}, {hours * kSecondsPerHour, kDrawnKg}};
}

/// Content of layer n counted from the outside, 1 the outermost.
inline double from_outside(const PackModel& model, const PackState& state, int n) {
  return layer_content(model, state, state.layers - n);
}

/// Nozzle content at the end of the layer that starts at a mass taken.
inline double at_end_of_layer(const DrawResult& drawn, double starts_kg) {
  for (std::size_t k = 0; k + 1 < drawn.samples.size(); ++k) {
    if (std::abs(drawn.samples[k].mass_kg - starts_kg) < 5e-5) {
      return drawn.samples[k + 1].content;
    }
  }
  return -1;
}

}  // namespace drydepth::reference_run
