#pragma once

// From a few readings to an ensemble.
//
// Unknowns are standard normals (the priors), data are readings with their standard
// deviations. Some unknowns bend the model: each trial of them costs a run. Others only
// add to what a scale shows (tare, dry mass, drift), so given the first kind their
// posterior is a Gaussian known in closed form: they are integrated out, and drawn at
// the end (Rao-Blackwell; for the peak that is variable projection, Golub and Pereyra
// 1973). A few readings of a tenth of a gram against a tare known to some grams make a
// very thin sheet of that side of the problem, which no walk would find its way along.
//
// For the bending ones the peak is found by least squares; a Gaussian there would be
// wrong where the readings leave a direction open, so it only proposes. Draws from a
// wide t-distribution around it are weighed by the true posterior, the next proposal
// takes its mean and covariance from all weighed draws, and so on (adaptive multiple
// importance sampling: Cornuet, Marin, Mira, Robert 2012). As many members as wanted
// are picked from the draws in proportion to their weights, and all of them then walk
// on the posterior itself by Metropolis steps, which tells twins apart (a sequential
// Monte Carlo sampler: Del Moral, Doucet, Jasra 2006). Every member has its own random
// numbers and moves while the other half stands still, so the result does not depend on
// threads.

#include <Eigen/Core>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "inference/sampling.h"

namespace drydepth {

/// What the data say of one trial: residuals (model minus reading, over the reading's
/// standard deviation) with the additive unknowns at zero, a row a reading, and how
/// each additive unknown moves them, a column each.
struct Misfit {
  Eigen::VectorXd residual;
  Eigen::MatrixXd slope;
};
using MisfitOf = std::function<Misfit(const Eigen::VectorXd& bending)>;

struct Posterior {
  Eigen::VectorXd peak;                      ///< bending, then additive
  std::vector<std::vector<double>> members;  ///< each in the same order
  double misfit = 0;           ///< sum of squared residuals of the data at the peak
  double effective_draws = 0;  ///< (sum w)^2 / sum w^2 of the importance weights
  double accepted = 0;         ///< share of Metropolis steps taken
};

/// The posterior of `bending` plus `additive` standard normals. `misfit_of` is called
/// from several threads at once. Sources above, method by method. Test: posterior, "one
/// reading of one unknown: the product of two normals" (closed form), "a bent posterior
/// is not the Gaussian at its peak" and "an unknown that only adds is as if it had been
/// sampled" (quadrature).
Posterior sample_posterior(const MisfitOf& misfit_of, std::size_t bending,
                           std::size_t additive, const PosteriorOptions& options);

}  // namespace drydepth
