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

// A point as the peak's Gaussian sees it: z = peak + root c.
struct Draw {
  Eigen::VectorXd c, z;
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
  out.c = n * scale;
  out.z = peak + root * out.c;
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

// A point that a member may move to, with what the proposal owes to the ratio.
struct Proposal {
  Eigen::VectorXd c;
  double log_ratio = 0;
};

// Preconditioned Crank-Nicolson (Cotter, Roberts, Stuart, White 2013): leaves the
// peak's Gaussian as it is, so its size need not shrink with the number of unknowns.
Proposal beside_the_peak(const Draw& member, double keep, std::uint64_t& state) {
  Proposal out;
  out.c =
      keep * member.c + std::sqrt(1.0 - keep * keep) * normals(member.c.size(), state);
  out.log_ratio = 0.5 * (out.c.squaredNorm() - member.c.squaredNorm());
  return out;
}

// Differential evolution (ter Braak 2006): along the line between two other members, so
// that the ensemble finds bends the Gaussian does not have. `others` are not moving.
Proposal along_others(const Draw& member, std::span<const Draw> others,
                      std::uint64_t& state) {
  const std::size_t a = next_random(state) % others.size();
  const std::size_t b =
      (a + 1 + next_random(state) % (others.size() - 1)) % others.size();
  const double d = static_cast<double>(member.c.size());
  Proposal out;
  out.c = member.c + 2.38 / std::sqrt(2.0 * d) * (others[a].c - others[b].c) +
          1e-3 * normals(member.c.size(), state);
  return out;
}

// Moves one half of the members by one step each; the other half stands still and may
// be looked at.
struct Walk {
  const Residuals& residuals;
  const Eigen::VectorXd& peak;
  const Eigen::MatrixXd& root;
  unsigned threads;

  std::size_t step(std::span<Draw> moving, std::span<const Draw> still, int round,
                   std::span<std::uint64_t> states) const {
    std::vector<char> taken(moving.size());
    for_each_index(moving.size(), threads, [&](std::size_t k) {
      Draw& member = moving[k];
      const Proposal p =
          round % 2 == 0
              ? along_others(member, still, states[k])
              : beside_the_peak(member, round % 4 == 1 ? 0.5 : 0.9, states[k]);
      const Eigen::VectorXd z = peak + root * p.c;
      const double log_p = log_posterior(residuals, z);
      if (std::log(next_uniform(states[k])) >=
          log_p - member.log_posterior + p.log_ratio) {
        return;
      }
      member.c = p.c;
      member.z = z;
      member.log_posterior = log_p;
      taken[k] = 1;
    });
    return static_cast<std::size_t>(std::accumulate(taken.begin(), taken.end(), 0));
  }
};

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
                     // The model's own steps make it rough on a finer scale than this.
                     .difference = 0.1,
                     .least = 1.0,
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
  std::vector<std::uint64_t> states;
  for (std::size_t k = 0; k < members.size(); ++k) {
    states.push_back(own_seed(options.seed + 1, k + options.draws));
  }
  const Walk walk{residuals, fit.x, root, options.threads};
  const std::size_t half = members.size() / 2;
  const std::span<Draw> all(members), first = all.first(half),
                                      second = all.subspan(half);
  const std::span<std::uint64_t> seeds(states);
  std::size_t taken = 0;
  for (int round = 0; round < options.steps && half >= 2; ++round) {
    taken += walk.step(first, second, round, seeds.first(half));
    taken += walk.step(second, first, round, seeds.subspan(half));
  }
  for (const Draw& m : members) {
    out.members.emplace_back(m.z.data(), m.z.data() + m.z.size());
  }
  out.accepted =
      static_cast<double>(taken) /
      static_cast<double>(members.size() * static_cast<std::size_t>(options.steps));
  return out;
}

}  // namespace drydepth
