#include "inference/posterior.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <span>

#include "base/parallel.h"
#include "inference/additive.h"
#include "inference/least_squares.h"
#include "inference/proposal.h"
#include "inference/random.h"

namespace drydepth {
namespace {

// So many standard deviations from the priors nothing is believed, whatever the data
// say. A reading that cannot be drags the peak outwards without end, into worlds where
// a run of the model takes minutes.
constexpr double kFarthest = 8.0;

bool believable(const Eigen::VectorXd& z) {
  return z.allFinite() && z.cwiseAbs().maxCoeff() <= kFarthest;
}

// log of evidence times prior; the prior of z is standard normal, constants left out.
double log_posterior(const MisfitOf& misfit_of, const Eigen::VectorXd& z) {
  if (!believable(z)) return -std::numeric_limits<double>::infinity();
  const Misfit misfit = misfit_of(z);
  if (!misfit.residual.allFinite()) return -std::numeric_limits<double>::infinity();
  return integrate_out(misfit).log_evidence - 0.5 * z.squaredNorm();
}

// The priors join the data as one more residual an unknown. The additive unknowns are
// at their best for each z (variable projection, Golub and Pereyra 1973); the term
// ln det M of the evidence is left out here, the weights bring it back.
Residuals with_prior(const MisfitOf& misfit_of) {
  return [&misfit_of](const Eigen::VectorXd& z) {
    if (!believable(z)) {
      return Eigen::VectorXd::Constant(1, std::numeric_limits<double>::quiet_NaN())
          .eval();
    }
    const Eigen::VectorXd data = integrate_out(misfit_of(z)).residual;
    Eigen::VectorXd all(data.size() + z.size());
    all << data, z;
    return all;
  };
}

// A stream for each k. The odd factor (Knuth's, of MMIX) spreads k over all bits.
std::uint64_t own_seed(std::uint64_t seed, std::size_t k) {
  std::uint64_t state = seed ^ (0x5851f42d4c957f2dULL * (k + 1));
  return next_random(state);
}

// Points with the posterior's logarithm, and weights that sum to 1 where they stand for
// draws.
struct Cloud {
  std::vector<Eigen::VectorXd> z;
  std::vector<double> log_posterior, weight;
  StudentT last;  ///< the newest proposal
};

// Weight of a draw: posterior over the mixture of all proposals (Cornuet, Marin, Mira,
// Robert 2012, Scand. J. Stat. 39, 798).
void weigh(const std::vector<StudentT>& proposals, unsigned threads, Cloud& cloud) {
  const std::size_t n = cloud.z.size();
  std::vector<double> log_weight(n);
  for_each_index(n, threads, [&](std::size_t k) {
    log_weight[k] = cloud.log_posterior[k] - log_density(proposals, cloud.z[k]);
  });
  const double top = *std::max_element(log_weight.begin(), log_weight.end());
  cloud.weight.assign(n, 1.0 / static_cast<double>(n));
  if (!std::isfinite(top)) return;  // none is believable: one as bad as the other
  double sum = 0;
  for (std::size_t k = 0; k < n; ++k) {
    sum += cloud.weight[k] = std::exp(log_weight[k] - top);
  }
  for (double& w : cloud.weight) w /= sum;
}

// Every round draws as many as the others, and every draw is weighed against the
// mixture of all proposals so far, so that an early bad one does no harm.
Cloud weighed_draws(const MisfitOf& misfit_of, const StudentT& first,
                    const PosteriorOptions& options) {
  const auto rounds = static_cast<std::size_t>(std::max(1, options.rounds));
  const std::size_t a_round = std::max<std::size_t>(1, options.draws / rounds);
  Cloud cloud;
  cloud.last = first;
  std::vector<StudentT> proposals;
  for (std::size_t round = 0; round < rounds; ++round) {
    if (round > 0) cloud.last = learn(cloud.z, cloud.weight, cloud.last);
    proposals.push_back(cloud.last);
    const std::size_t before = cloud.z.size();
    cloud.z.resize(before + a_round);
    cloud.log_posterior.resize(before + a_round);
    for_each_index(a_round, options.threads, [&](std::size_t k) {
      std::uint64_t state = own_seed(options.seed, before + k);
      cloud.z[before + k] = draw(cloud.last, state);
      cloud.log_posterior[before + k] = log_posterior(misfit_of, cloud.z[before + k]);
    });
    weigh(proposals, options.threads, cloud);
  }
  return cloud;
}

// Systematic resampling: member k is the draw under (k + 1/2)/members of the weights
// (Kitagawa 1996, J. Comput. Graph. Stat. 5, 1; from memory).
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

// A member on its walk, in the proposal's frame: z = mean + root c.
struct Walker {
  Eigen::VectorXd c;
  double log_posterior = 0;
  std::uint64_t state = 0;
};

// A point that a member may move to, with what the proposal owes to the ratio.
struct Step {
  Eigen::VectorXd c;
  double log_ratio = 0;
};

// Preconditioned Crank-Nicolson (Cotter, Roberts, Stuart, White 2013, Stat. Sci. 28,
// 424): leaves the frame's Gaussian as it is, so its size need not shrink with the
// number of unknowns. The ratio owes that Gaussian: exp(|c'|^2/2 - |c|^2/2).
Step about_the_mean(Walker& member, double keep) {
  Step out;
  out.c = keep * member.c +
          std::sqrt(1.0 - keep * keep) * normals(member.c.size(), member.state);
  out.log_ratio = 0.5 * (out.c.squaredNorm() - member.c.squaredNorm());
  return out;
}

// Differential evolution (ter Braak 2006, Stat. Comput. 16, 239, with his
// 2.38/sqrt(2 d)): along the line between two other members, so that the ensemble finds
// bends the Gaussian does not have. `others` are not moving. Symmetric, so it owes
// nothing to the ratio.
Step along_others(Walker& member, std::span<const Walker> others) {
  const std::size_t a = next_random(member.state) % others.size();
  const std::size_t b =
      (a + 1 + next_random(member.state) % (others.size() - 1)) % others.size();
  const double d = static_cast<double>(member.c.size());
  Step out;
  out.c = member.c + 2.38 / std::sqrt(2.0 * d) * (others[a].c - others[b].c) +
          1e-3 * normals(member.c.size(), member.state);
  return out;
}

// Moves one half of the members by one step each; the other half stands still and may
// be looked at. A step is taken with probability min(1, ratio) (Metropolis et al.
// 1953). Test: posterior, "a bent posterior is not the Gaussian at its peak".
struct Walk {
  const MisfitOf& misfit_of;
  const StudentT& frame;
  unsigned threads;

  std::size_t step(std::span<Walker> moving, std::span<const Walker> still,
                   int round) const {
    std::vector<char> taken(moving.size());
    for_each_index(moving.size(), threads, [&](std::size_t k) {
      Walker& member = moving[k];
      const Step to = round % 2 == 0
                          ? along_others(member, still)
                          : about_the_mean(member, round % 4 == 1 ? 0.5 : 0.9);
      const double log_p = log_posterior(misfit_of, frame.mean + frame.root * to.c);
      if (std::log(next_uniform(member.state)) >=
          log_p - member.log_posterior + to.log_ratio) {
        return;
      }
      member.c = to.c;
      member.log_posterior = log_p;
      taken[k] = 1;
    });
    return static_cast<std::size_t>(std::accumulate(taken.begin(), taken.end(), 0));
  }
};

std::vector<Walker> walkers(const Cloud& cloud, const PosteriorOptions& options) {
  std::vector<Walker> out;
  for (const std::size_t k : pick(cloud.weight, options.members)) {
    out.push_back({.c = cloud.last.root.triangularView<Eigen::Lower>().solve(
                       cloud.z[k] - cloud.last.mean),
                   .log_posterior = cloud.log_posterior[k],
                   .state = own_seed(options.seed + 1, out.size() + options.draws)});
  }
  return out;
}

double walk(const Walk& walk, int steps, std::span<Walker> members) {
  const std::size_t half = members.size() / 2;
  if (half < 2 || steps <= 0) return 0;
  const std::span<Walker> first = members.first(half), second = members.subspan(half);
  std::size_t taken = 0;
  for (int round = 0; round < steps; ++round) {
    taken += walk.step(first, second, round);
    taken += walk.step(second, first, round);
  }
  return static_cast<double>(taken) / static_cast<double>(members.size()) / steps;
}

std::vector<double> joined(const Eigen::VectorXd& bending,
                           const Eigen::VectorXd& additive) {
  std::vector<double> out(bending.begin(), bending.end());
  out.insert(out.end(), additive.begin(), additive.end());
  return out;
}

}  // namespace

Posterior sample_posterior(const MisfitOf& misfit_of, std::size_t bending,
                           std::size_t additive, const PosteriorOptions& options) {
  const LeastSquaresSummary fit = least_squares(
      with_prior(misfit_of), Eigen::VectorXd::Zero(static_cast<Eigen::Index>(bending)),
      {.max_iterations = 12,
       .gradient = 1e-3,
       .step = 1e-3,
       // The model's own steps make it rough on a finer scale than this.
       .difference = 0.1,
       .least = 1.0,
       .forward = true});
  const Additive at_peak = integrate_out(misfit_of(fit.x));
  Posterior out;
  out.peak.resize(static_cast<Eigen::Index>(bending + additive));
  out.peak << fit.x, at_peak.mean;
  // The cost holds |z|^2 and |l|^2 of the priors besides the data's part.
  out.misfit = fit.cost - out.peak.squaredNorm();

  const Cloud cloud = weighed_draws(
      misfit_of, student_t(fit.x, (fit.jacobian.transpose() * fit.jacobian).inverse()),
      options);
  // (sum w)^2/sum w^2 with sum w = 1 (Kong, Liu, Wong 1994, J. Am. Stat. Assoc. 89,
  // 278).
  double squares = 0;
  for (const double w : cloud.weight) squares += w * w;
  out.effective_draws = 1.0 / squares;

  std::vector<Walker> members = walkers(cloud, options);
  out.accepted = walk({misfit_of, cloud.last, options.threads}, options.steps, members);
  out.members.resize(members.size());
  for_each_index(members.size(), options.threads, [&](std::size_t k) {
    const Eigen::VectorXd z = cloud.last.mean + cloud.last.root * members[k].c;
    out.members[k] =
        joined(z, draw_additive(integrate_out(misfit_of(z)), members[k].state));
  });
  return out;
}

}  // namespace drydepth
