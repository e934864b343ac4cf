#pragma once

#include <vector>

#include "moisture/pack.h"

namespace drydepth {

/// Everything about a spool that does not change while it is simulated, in the form
/// that the rates need.
struct PackModel {
  Polymer polymer{};
  Winding winding{};
  PackProperties properties{};

  // Strand shells, outermost last. Shares of the section sum to 1.
  int shells = 0;
  std::vector<double> shell_share{};  ///< v_j
  std::vector<double> shell_link{};   ///< k_j, 1/m2: flux j -> j+1 is D k_j (X_j -
                                      ///< X_j+1); the last one leads to the surface
  // Layers.
  int layers = 0;
  std::vector<double> volume_m3{};
  std::vector<double> face_m{};  ///< area over distance to the next layer outwards
  std::vector<double> outer_area_m2{};
  std::vector<double> half_m{};  ///< s: centre of the layer to its outer edge
  double plasticity = 0;         ///< p/X_sat
};

/// Shells and layers as in docs/model.md, "Space". Test: moisture_strand_series (order
/// in shells), moisture_pack_series (order in layers).
PackModel make_pack_model(const Polymer& polymer, const Winding& winding,
                          const PackProperties& properties, const PackOptions& options);

/// What the rates leave behind for their own derivatives, per layer (and per shell).
/// X in kg/kg, w and c in kg/m3, T in K; S is per dry polymer. Numbers of equations as
/// in docs/model.md.
struct PackTerms {
  std::vector<double> slope;        ///< dPhi/dX of each shell, [shell*stride + layer]
  std::vector<double> phi;          ///< Phi, up to a constant
  std::vector<double> diffusivity;  ///< strand, dry, at T, m2/s (4)
  std::vector<double> diffusivity_log_slope;            ///< d ln D/dT, 1/K
  std::vector<double> release;                          ///< S, 1/s (6)
  std::vector<double> release_c;                        ///< dS/dc
  std::vector<double> release_w, release_t, release_x;  ///< dS/dw, dS/dT, dS/dX_last
  std::vector<double> potential;                        ///< c, kg/m3
  std::vector<double> potential_w, potential_t;
  std::vector<double> pack_diffusivity, pack_diffusivity_t;
  // Exchange with the air: vapour leaving (kg/s) and its derivatives; heat as W/K.
  std::vector<double> leaving, leaving_w, leaving_t, leaving_c;
  std::vector<double> air_w_k;

  void shape(int shells, int layers);
};

/// Rates of change dy/dt at y, in the units of PackVector per second: equations 5 to 10
/// of docs/model.md, with 1 to 4 inside. Works on the first `layers` layers.
/// Test: moisture_strand_series, moisture_pack_series (closed forms), moisture_run
/// (solutions written apart), pack_matrix (derivatives).
void pack_rates(const PackModel& model, const Surroundings& around, const Air& air,
                int layers, const PackVector& y, PackTerms& terms, PackVector& rates);

/// Makes the derivatives of a layer that holds dew those of the same layer without
/// (docs/model.md, "Dew"). The rates stay as they are. Test: pack_bounds.
void linearise_without_dew(std::size_t layer, PackTerms& terms);

}  // namespace drydepth
