#pragma once

#include "base/units.h"

namespace drydepth {

/// Reference temperature of the isotherm, K (23 C, the standard atmosphere of ISO 291).
constexpr double kIsothermReferenceK = 296.15;

/// What the model needs to know of a polymer. Contents are per dry polymer.
struct Polymer {
  double density_kg_m3 = 0;
  double heat_capacity_j_kg_k = 0;
  double isotherm_slope = 0;        ///< k, kg/kg per unit activity
  double isotherm_curvature = 0;    ///< q, below 1
  double heat_of_mixing_j_mol = 0;  ///< H, excess over condensation
  double diffusivity_ref_m2_s = 0;  ///< D_ref of the dry strand
  double diffusivity_ref_k = kIsothermReferenceK;
  double activation_j_mol = 0;  ///< E
  double plasticisation = 0;    ///< p: ln of D(saturated)/D(dry)
};

/// Water content in equilibrium with activity a at T, kg/kg:
///   X_eq = k a/(1 - q a) exp(-H/R (1/T - 1/T_ref))
/// a in 0..1, T in K. docs/model.md, equation 3. Fitted form; k, q and H per material
/// with their sources in rules/materials. Test: polymer, "isotherm at the reference
/// temperature" and "a heat of mixing below zero lowers the content of a hot polymer".
double equilibrium_content(const Polymer& polymer, double activity, double t_k);

/// The same with its derivatives, dX_eq/da and (at that activity) dX_eq/dT, kg/kg and
/// 1/K (derived). Test: pack_matrix (cases with a heat of mixing).
struct Equilibrium {
  double content = 0, by_activity = 0, by_temperature = 0;
};
Equilibrium equilibrium(const Polymer& polymer, double activity, double t_k);

/// The inverse of equation 3: activity over a content at T, not above 1.
///   y = X exp(H/R (1/T - 1/T_ref)), a = y/(k + q y)
/// Test: polymer, "activity over a content undoes the isotherm" and "activity is never
/// above 1".
double activity_over(const Polymer& polymer, double content, double t_k);

/// Content at activity 1 and T_ref, kg/kg: X_sat = k/(1 - q) (equation 4). Test:
/// polymer, "isotherm at the reference temperature".
double saturation_content(const Polymer& polymer);

/// The part of equation 4 that holds for the dry strand, m2/s:
///   D_ref exp(-E/R (1/T - 1/T_ref,D))
/// Test: polymer, "strand diffusivity"; moisture_run.
double dry_diffusivity_m2_s(const Polymer& polymer, double t_k);

/// Diffusivity of water in the strand, m2/s (equation 4):
///   D_s = D_ref exp(-E/R (1/T - 1/T_ref,D)) exp(p X/X_sat)
/// Arrhenius and exponential plasticisation, the usual form for polyamides below and
/// around their glass transition (e.g. the trend in Broudin et al. 2015, Eur. Polym. J.
/// 67, 326). The rates use it as its integral over X (pack_rates.cc). Test: polymer,
/// "strand diffusivity".
double strand_diffusivity_m2_s(const Polymer& polymer, double content, double t_k);

}  // namespace drydepth
