#pragma once

// The wound pack: water and heat in a spool of hygroscopic strand.
//
// Two resistances of one size sit in series. Water diffuses inside the strand to its
// surface (Fick, cylinder); from there it goes as vapour through the gaps of the
// winding to the outer surface, and the gaps are nearly closed where strands touch.
// Either one alone is wrong for nylon. Strands run around the axis, so the pack is
// one-dimensional: a node a wound layer, radial vapour and heat between them, flanges
// and hub as lumped terms, and a row of shells inside the strand of each layer.
//
// State per layer: temperature T, vapour w of the gaps (kg per m3 of gap), strand
// content X in shells. The equations, their numbers as in docs/model.md:
//   (5) dX/dt = (1/r) d/dr (r D_s dX/dr), X = X_eq(a,T) at the strand's surface
//   (6) (1-f) dw/dt = -div J + f rho S,  J = -g D_va grad c
//   (7) f rho c_p dT/dt = div(k grad T) - (2U/W)(T - T_air) - f rho S h_v
// with c = min(w, c_sat): vapour beyond saturation waits as dew in the gaps. Sources
// and tests of each stand beside the code: pack_rates.cc, polymer.h, air.h.
//
// Left out, with the size of what that neglects, in docs/model.md.

#include <cstddef>
#include <optional>
#include <vector>

#include "moisture/air.h"
#include "moisture/polymer.h"
#include "moisture/winding.h"

namespace drydepth {

/// Layers and shells are int, since they are counted downwards too.
constexpr std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// How the pack of one spool passes vapour and heat (equations 2, 7, 8, 9). Defaults
/// are priors; where they come from: docs/model.md, "Priors".
struct PackProperties {
  double gap_factor = 0.06;  ///< g: vapour diffusivity of the pack over free air
  double conductivity_w_mk = 0.115;  ///< k_eff across the strands
  double side_w_m2k = 6.5;           ///< U: pack's mean temperature to air, each flange
  double flange_open_fraction = 0;   ///< phi, of the flanges' area
  double hub_open_fraction = 0;      ///< 0: the hub passes neither vapour nor heat
};

/// A heated box with a known air exchange; 0 exchange is a sealed box (equation 10).
struct Chamber {
  double volume_m3 = 0;
  double exchange_m3_s = 0;  ///< Q, at the box's temperature
  double inlet_kg_m3 = 0;    ///< vapour of the incoming air, at the box's temperature
};

/// What the spool stands in for a while.
struct Surroundings {
  Air air{};                        ///< with a chamber: only its temperature counts
  double temperature_rate_k_s = 0;  ///< linear drift of the air while it lasts
  double vapour_rate_kg_m3_s = 0;
  double film_w_m2k = 8;  ///< h: convection and radiation together
  std::optional<Chamber> chamber{};
};

/// One number for every unknown of the pack: strand contents (kg/kg) by shell and
/// layer, gap vapour (kg per m3 of gap), temperature (K), and two ledgers. Layers count
/// from the hub, shells from the strand's axis. One flat block, so that stages combine
/// in one loop.
struct PackVector {
  int shells = 0, stride = 0;
  std::vector<double> data;

  void shape(int shell_count, int layer_stride) {
    shells = shell_count;
    stride = layer_stride;
    data.assign(static_cast<std::size_t>((shell_count + 2) * layer_stride + 2), 0.0);
  }
  double* content(int shell) { return data.data() + shell * stride; }
  double* vapour() { return data.data() + shells * stride; }
  double* temperature() { return data.data() + (shells + 1) * stride; }
  double& released() { return data[data.size() - 2]; }  ///< kg through the surfaces
  double& chamber() { return data[data.size() - 1]; }   ///< kg/m3 in the box's air
  const double* content(int shell) const { return data.data() + shell * stride; }
  const double* vapour() const { return data.data() + shells * stride; }
  const double* temperature() const { return data.data() + (shells + 1) * stride; }
  double released() const { return data[data.size() - 2]; }
  double chamber() const { return data[data.size() - 1]; }
};

/// A spool at one moment.
struct PackState {
  int layers = 0;  ///< still present; the vectors keep room for those gone
  PackVector y;
  double consumed_kg = 0;  ///< dry mass already taken from the outermost layer
  double step_s = 0;       ///< step that the next advance may begin with; 0 (a short
                           ///< one) wherever the surroundings change
  double removed_kg = 0;   ///< water gone with layers used up, gap air included
};

/// Numerical choices. The defaults move no reported moisture by more than 0.005 % of
/// dry mass against halved steps and shells. Test: pack_solver, "refinement moves
/// nothing reported by more than 0.005 % of dry mass".
struct PackOptions {
  int shells = 14;
  double grading = 2.0;  ///< shell edges at 1 - (1 - j/S)^grading: fine at the surface
  double tolerance = 3e-5;  ///< local error in content, kg/kg; 2000 times that in K
  double max_step_s = 2e5;  ///< the ledger's rounding grows with the step
};

}  // namespace drydepth
