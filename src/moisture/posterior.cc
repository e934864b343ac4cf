#include "moisture/posterior.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

#include "base/parallel.h"
#include "moisture/ensemble.h"
#include "moisture/random.h"

namespace drydepth {
namespace {

// Degrees of freedom of the proposal: heavier tails than the posterior's, so that no
// draw can get an unbounded weight.
constexpr double kFreedom = 6.0;

double log_posterior(const Residuals& residuals, const Eigen::VectorXd& z) {
  const Eigen::VectorXd r = residuals(z);
  if (!r.allFinite()) return -std::numeric_limits<double>::infinity();
  return -0.5 * (r.squaredNorm() + z.squaredNorm());
}

// The prior joins the data as one more residual an unknown.
Residuals with_prior(const Residuals& residuals) {
  return [&residuals](const Eigen::VectorXd& z) {
    const Eigen::VectorXd data = residuals(z);
    Eigen::VectorXd all(data.size() + z.size());
    all << data, z;
    return all;
  };
}

Eigen::VectorXd normals(Eigen::Index n, std::uint64_t& state) {
  Eigen::VectorXd out(n);
  for (Eigen::Index k = 0; k < n; ++k) out[k] = normal_quantile(next_uniform(state));
  return out;
}

struct Draw {
  Eigen::VectorXd z;
  double log_posterior = 0;
  double log_weight = 0;
};

// Draws of a t-distribution with the peak's covariance: z = peak + L n sqrt(v/chi2_v),
// chi2 of an even number of freedoms from uniforms.
Draw propose(const Eigen::VectorXd& peak, const Eigen::MatrixXd& root,
             std::uint64_t& state) {
  const Eigen::VectorXd n = normals(peak.size(), state);
  double chi2 = 0;
  for (int k = 0; k < static_cast<int>(kFreedom) / 2; ++k) {
    chi2 -= 2.0 * std::log(next_uniform(state));
  }
  const double scale = std::sqrt(kFreedom / chi2);
  Draw out;
  out.z = peak + root * n * scale;
  // log density of the proposal, up to a constant
  const double d = static_cast<double>(peak.size());
  const double square = n.squaredNorm() * scale * scale;
  out.log_weight = 0.5 * (kFreedom + d) * std::log1p(square / kFreedom);
  return out;
}

// Systematic resampling: member k is the draw under (k + 1/2)/members of the weights.
std::vector<std::size_t> pick(const std::vector<double>& weight, std::size_t members) {
  std::vector<std::size_t> out;
  double sum = 0;
  std::size_t next = 0;
  for (std::size_t k = 0; k < members; ++k) {
    const double mark = (static_cast<double>(k) + 0.5) / static_cast<double>(members);
    while (next + 1 < weight.size() && sum + weight[next] < mark) sum += weight[next++];
    out.push_back(next);
  }
  return out;
}

// One member's walk. Steps shrink with the dimension (Roberts, Gelman, Gilks 1997).
std::size_t walk(const Residuals& residuals, const Eigen::MatrixXd& root, int steps,
                 std::uint64_t state, Draw& member) {
  const double scale = 2.38 / std::sqrt(static_cast<double>(member.z.size()));
  std::size_t taken = 0;
  for (int k = 0; k < steps; ++k) {
    const Eigen::VectorXd z =
        member.z + root * normals(member.z.size(), state) * scale;
    const double log_p = log_posterior(residuals, z);
    if (std::log(next_uniform(state)) < log_p - member.log_posterior) {
      member.z = z;
      member.log_posterior = log_p;
      ++taken;
    }
  }
  return taken;
}

std::uint64_t own_seed(std::uint64_t seed, std::size_t k) {
  std::uint64_t state = seed ^ (0x5851f42d4c957f2dULL * (k + 1));
  return next_random(state);
}

}  // namespace

Posterior sample_posterior(const Residuals& residuals, std::size_t unknowns,
                           const PosteriorOptions& options) {
  const auto n = static_cast<Eigen::Index>(unknowns);
  const LeastSquaresSummary fit =
      least_squares(with_prior(residuals), Eigen::VectorXd::Zero(n),
                    {.max_iterations = 12,
                     .gradient = 1e-3,
                     .step = 1e-3,
                     .difference = 1e-2,
                     .forward = true});
  Posterior out{.peak = fit.x, .members = {}};
  out.misfit = fit.cost - fit.x.squaredNorm();
  const Eigen::MatrixXd covariance =
      (fit.jacobian.transpose() * fit.jacobian).inverse();
  const Eigen::MatrixXd root = covariance.llt().matrixL();

  std::vector<Draw> draws(options.draws);
  for_each_index(draws.size(), options.threads, [&](std::size_t k) {
    std::uint64_t state = own_seed(options.seed, k);
    draws[k] = propose(fit.x, root, state);
    draws[k].log_posterior = log_posterior(residuals, draws[k].z);
    draws[k].log_weight += draws[k].log_posterior;
  });
  double top = -std::numeric_limits<double>::infinity();
  for (const Draw& d : draws) top = std::max(top, d.log_weight);
  std::vector<double> weight;
  for (const Draw& d : draws) weight.push_back(std::exp(d.log_weight - top));
  const double sum = std::accumulate(weight.begin(), weight.end(), 0.0);
  double squares = 0;
  for (double& w : weight) {
    w /= sum;
    squares += w * w;
  }
  out.effective_draws = 1.0 / squares;

  std::vector<Draw> members;
  for (const std::size_t k : pick(weight, options.members)) members.push_back(draws[k]);
  std::vector<std::size_t> taken(members.size());
  for_each_index(members.size(), options.threads, [&](std::size_t k) {
    taken[k] = walk(residuals, root, options.steps,
                    own_seed(options.seed + 1, k + options.draws), members[k]);
  });
  for (const Draw& m : members) {
    out.members.emplace_back(m.z.data(), m.z.data() + m.z.size());
  }
  out.accepted =
      static_cast<double>(std::accumulate(taken.begin(), taken.end(), std::size_t{0})) /
      static_cast<double>(members.size() * static_cast<std::size_t>(options.steps));
  return out;
}

}  // namespace drydepth
