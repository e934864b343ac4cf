#pragma once

namespace drydepth {

/// How a spool's body takes up water, seen by the scale only:
///   dX_c/dt = (X_c,eq(a) - X_c)/tau,  X_c,eq = k a/(1 - q a)
/// docs/model.md, equation 12. One lump, one time constant (relaxation of first order,
/// a choice of the model); values with their status in rules/bodies.json.
struct BodyLaw {
  double slope = 0;            ///< k, kg/kg per unit activity
  double curvature = 0;        ///< q
  double time_constant_s = 0;  ///< tau
};

/// X_c,eq, kg/kg, activity 0..1: the form of equation 3 without its factor of
/// temperature. Test: tests/spool/respool_test, "cardboard brings its own water from
/// the respool on".
double body_equilibrium(const BodyLaw& law, double activity);

/// Content after standing in air of one activity, kg/kg: the exact solution of equation
/// 12. Test: fit, "a cardboard body hides its own water in the reading" (its end,
/// hardly its time constant).
double body_content_after(const BodyLaw& law, double content, double activity,
                          double seconds);

}  // namespace drydepth
