#pragma once

// From a few readings to an ensemble.
//
// Unknowns are standard normals (the priors), data are readings with their standard
// deviations. The peak of the posterior is found by least squares; a Gaussian there
// would be wrong where the readings leave a direction open and the model bends along
// it, so the peak only proposes. Draws from a wide t-distribution around it are weighed
// by the true posterior (importance sampling), as many members as wanted are picked
// from them in proportion, and all of them then walk on the posterior itself by
// Metropolis steps, which mends what the proposal got wrong and tells twins apart (a
// sequential Monte Carlo sampler: Del Moral, Doucet, Jasra 2006). Every member has its
// own random numbers and moves while the other half stands still, so the result does
// not depend on threads.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "moisture/least_squares.h"

namespace drydepth {

struct PosteriorOptions {
  std::size_t members = 64;
  std::size_t draws = 1200;  ///< from the proposal
  int steps = 40;            ///< Metropolis steps of each member
  std::uint64_t seed = 1;
  unsigned threads = 0;  ///< 0: all
};

struct Posterior {
  Eigen::VectorXd peak;
  std::vector<std::vector<double>> members;
  double misfit = 0;           ///< sum of squared residuals of the data at the peak
  double effective_draws = 0;  ///< (sum w)^2 / sum w^2 of the importance weights
  double accepted = 0;         ///< share of Metropolis steps taken
};

/// The posterior of `unknowns` standard normals given residuals of the data (model
/// minus reading, over the reading's standard deviation). `residuals` is called from
/// several threads at once. Test: posterior, against closed forms.
Posterior sample_posterior(const Residuals& residuals, std::size_t unknowns,
                           const PosteriorOptions& options);

}  // namespace drydepth
