#pragma once

namespace drydepth {

/// How a spool's body takes up water, seen by the scale only:
///   dX_c/dt = (X_c,eq(a) - X_c)/tau,  X_c,eq = k a/(1 - q a)
/// One lump, one time constant; values with their status in rules/bodies.json.
struct BodyLaw {
  double slope = 0;            ///< k, kg/kg per unit activity
  double curvature = 0;        ///< q
  double time_constant_s = 0;  ///< tau
};

double body_equilibrium(const BodyLaw& law, double activity);

/// Content after standing in air of one activity, kg/kg: the exact exponential. Test:
/// body.
double body_content_after(const BodyLaw& law, double content, double activity,
                          double seconds);

}  // namespace drydepth
