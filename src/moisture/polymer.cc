#include "moisture/polymer.h"

#include <algorithm>
#include <cmath>

#include "moisture/air.h"

namespace drydepth {
namespace {

double mixing_factor(const Polymer& polymer, double t_k) {
  return std::exp(-polymer.heat_of_mixing_j_mol / kGasConstant *
                  (1.0 / t_k - 1.0 / kIsothermReferenceK));
}

}  // namespace

double equilibrium_content(const Polymer& polymer, double activity, double t_k) {
  return polymer.isotherm_slope * activity /
         (1.0 - polymer.isotherm_curvature * activity) * mixing_factor(polymer, t_k);
}

double activity_over(const Polymer& polymer, double content, double t_k) {
  const double y = content / mixing_factor(polymer, t_k);
  return std::min(1.0, y / (polymer.isotherm_slope + polymer.isotherm_curvature * y));
}

double saturation_content(const Polymer& polymer) {
  return polymer.isotherm_slope / (1.0 - polymer.isotherm_curvature);
}

double strand_diffusivity_m2_s(const Polymer& polymer, double content, double t_k) {
  return polymer.diffusivity_ref_m2_s *
         std::exp(-polymer.activation_j_mol / kGasConstant *
                      (1.0 / t_k - 1.0 / polymer.diffusivity_ref_k) +
                  polymer.plasticisation * content / saturation_content(polymer));
}

}  // namespace drydepth
