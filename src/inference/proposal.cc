#include "inference/proposal.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "inference/additive.h"
#include "inference/random.h"

namespace drydepth {
namespace {

// v, degrees of freedom: even for draw(), above 2 for a covariance; an own choice.
constexpr int kFreedom = 6;

}  // namespace

StudentT student_t(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance) {
  return {mean, covariance.llt().matrixL()};
}

// z = mean + root n sqrt(v/chi2_v). -2 ln u is chi2 with 2 freedoms, so v/2 of them sum
// to v (textbook forms).
Eigen::VectorXd draw(const StudentT& proposal, std::uint64_t& state) {
  const Eigen::VectorXd n = normals(proposal.mean.size(), state);
  double chi2 = 0;
  for (int k = 0; k < kFreedom / 2; ++k) chi2 -= 2.0 * std::log(next_uniform(state));
  return proposal.mean + proposal.root * n * std::sqrt(kFreedom / chi2);
}

double log_density(const StudentT& proposal, const Eigen::VectorXd& z) {
  const double square = proposal.root.triangularView<Eigen::Lower>()
                            .solve(z - proposal.mean)
                            .squaredNorm();
  const double d = static_cast<double>(z.size());
  return -0.5 * (kFreedom + d) * std::log1p(square / kFreedom) -
         proposal.root.diagonal().array().log().sum();
}

double log_density(std::span<const StudentT> mixture, const Eigen::VectorXd& z) {
  double top = -std::numeric_limits<double>::infinity(), sum = 0;
  for (const StudentT& q : mixture) {
    const double log_q = log_density(q, z);
    // Sum of exp(log_q - top), rescaled whenever the top rises: no overflow.
    if (log_q > top) {
      sum = sum * std::exp(top - log_q) + 1.0;
      top = log_q;
    } else {
      sum += std::exp(log_q - top);
    }
  }
  return top + std::log(sum / static_cast<double>(mixture.size()));
}

StudentT learn(std::span<const Eigen::VectorXd> draws, std::span<const double> weights,
               const StudentT& last) {
  const Eigen::Index d = last.mean.size();
  Eigen::VectorXd mean = Eigen::VectorXd::Zero(d);
  double squares = 0;
  for (std::size_t k = 0; k < draws.size(); ++k) {
    mean += weights[k] * draws[k];
    squares += weights[k] * weights[k];
  }
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(d, d);
  for (std::size_t k = 0; k < draws.size(); ++k) {
    const Eigen::VectorXd off = draws[k] - mean;
    covariance += weights[k] * off * off.transpose();
  }
  // Draws worth 1/sum w^2 (Kong, Liu, Wong 1994) against 2 d held back (own choice).
  const double worth = 1.0 / squares, held = 2.0 * static_cast<double>(d);
  const Eigen::MatrixXd before = last.root * last.root.transpose();
  return student_t(mean, (worth * covariance + held * before) / (worth + held));
}

}  // namespace drydepth
