#pragma once

#include <vector>

#include "moisture/pack.h"
#include "moisture/pack_matrix.h"
#include "moisture/pack_rates.h"

namespace drydepth {

/// How an advance went. A numerical failure is data, never an exception or a NaN.
struct PackSummary {
  int steps = 0;
  int rejected = 0;
  bool strained =
      false;  ///< a step at the smallest size still broke a bound and was cut
};

/// Advances one spool through time.
///
/// Method: Rodas3, a Rosenbrock method of four stages, order 3 with an embedded order
/// 2, L-stable and stiffly accurate (Sandu et al. 1997, Atmos. Environ. 31, 3459). One
/// factorisation of the exact Jacobian a step, no inner iteration; water is a linear
/// invariant of the equations and so of the method, to rounding.
/// Test: pack_solver, "order of convergence" (coefficients) and "water is kept, gap
/// vapour and what left included"; moisture_cvode (the same rates, another solver).
///
/// Contents stay within 0 and the larger of their start and of saturation, X_eq(1, T),
/// at the temperatures passed through. Errors that break a bound by less than the
/// tolerance are mended with the water kept: within the strand, then between strand and
/// gap, then outwards. Larger ones halve the step. Test: pack_bounds.
///
/// Holds work space only: results depend on the state and the arguments alone. No
/// allocation while advancing. One solver a thread.
class PackSolver {
 public:
  PackSolver(const Polymer& polymer, const Winding& winding,
             const PackProperties& properties, const PackOptions& options = {});

  const PackModel& model() const { return model_; }
  const PackOptions& options() const { return options_; }

  /// The spool with one content everywhere, gap air in equilibrium with it.
  PackState uniform(DryBasis content, Kelvin temperature) const;
  /// The same with a content for each layer, hub first.
  PackState layered(const std::vector<double>& content, Kelvin temperature) const;

  /// What stands around the spool acts for `seconds`; a change of surroundings starts
  /// at once.
  PackSummary advance(PackState& state, const Surroundings& around, double seconds);

 private:
  bool step(const PackState& state, const Surroundings& around, double elapsed_s,
            double h_s);
  void foresee_drying_of_dew(const PackVector& y, int layers, double h_s);
  void time_derivative(const Surroundings& around, int layers);
  double error_norm(int layers) const;
  void raise_ceiling(const PackState& state);
  void draw_shells_in(int layer, double mean, double top);
  double settle_layer(int layer, double owed_kg, double& beyond);
  bool keep_within_bounds(const Surroundings& around, int layers);
  Air air_at(const Surroundings& around, double elapsed_s) const;

  PackModel model_;
  PackOptions options_;
  PackMatrix matrix_;
  PackTerms terms_;
  PackVector rates_, drift_, u1_, u2_, u3_, u4_, stage_;
  std::vector<double> ceiling_;  // by layer, of the contents at the end of a step
};

}  // namespace drydepth
