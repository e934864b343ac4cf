#include "moisture/polymer.h"

#include <algorithm>
#include <cmath>

#include "moisture/air.h"

namespace drydepth {
namespace {

// Equation 3 of docs/model.md, the factor exp(-H/R (1/T - 1/T_ref)): the form of
// van 't Hoff with a constant H.
double mixing_factor(const Polymer& polymer, double t_k) {
  return std::exp(-polymer.heat_of_mixing_j_mol / kGasConstant *
                  (1.0 / t_k - 1.0 / kIsothermReferenceK));
}

}  // namespace

Equilibrium equilibrium(const Polymer& polymer, double activity, double t_k) {
  // Equation 3: k a/(1 - q a) exp(...), then d/da, then d/dT at fixed a (derived).
  const double scale = mixing_factor(polymer, t_k) * polymer.isotherm_slope;
  const double denominator = 1.0 - polymer.isotherm_curvature * activity;
  const double content = scale * activity / denominator;
  const double mixing_k = polymer.heat_of_mixing_j_mol / kGasConstant;
  return {.content = content,
          .by_activity = scale / (denominator * denominator),
          .by_temperature = content * mixing_k / (t_k * t_k)};
}

double equilibrium_content(const Polymer& polymer, double activity, double t_k) {
  return equilibrium(polymer, activity, t_k).content;
}

double activity_over(const Polymer& polymer, double content, double t_k) {
  // Equation 3 solved for a; dew has no activity above 1.
  const double y = content / mixing_factor(polymer, t_k);
  return std::min(1.0, y / (polymer.isotherm_slope + polymer.isotherm_curvature * y));
}

double saturation_content(const Polymer& polymer) {
  return polymer.isotherm_slope / (1.0 - polymer.isotherm_curvature);
}

double dry_diffusivity_m2_s(const Polymer& polymer, double t_k) {
  // Equation 4, Arrhenius' factor.
  return polymer.diffusivity_ref_m2_s *
         std::exp(-polymer.activation_j_mol / kGasConstant *
                  (1.0 / t_k - 1.0 / polymer.diffusivity_ref_k));
}

double strand_diffusivity_m2_s(const Polymer& polymer, double content, double t_k) {
  // Equation 4, plasticisation.
  return dry_diffusivity_m2_s(polymer, t_k) *
         std::exp(polymer.plasticisation * content / saturation_content(polymer));
}

}  // namespace drydepth
