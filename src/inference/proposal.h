#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <span>
#include <vector>

namespace drydepth {

/// A t-distribution of several unknowns: heavier tails than a posterior's, so that no
/// draw from it can get an unbounded weight. z = mean + root c.
struct StudentT {
  Eigen::VectorXd mean;
  Eigen::MatrixXd root;  ///< lower triangle of the scale matrix
};

/// From a mean and a scale matrix, which must be positive definite. The covariance of
/// the draws is v/(v - 2) times it. Test: proposal, "draws have the scale's covariance,
/// wider by v/(v - 2)".
StudentT student_t(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance);

Eigen::VectorXd draw(const StudentT& proposal, std::uint64_t& state);

/// log of (1 + |c|^2/v)^(-(v + d)/2)/det root, up to a constant that all of them share.
/// Textbook form. Test: proposal, "the density is that of a t-distribution, up to one
/// constant".
double log_density(const StudentT& proposal, const Eigen::VectorXd& z);

/// log of the mixture of proposals in equal parts. Same test.
double log_density(std::span<const StudentT> mixture, const Eigen::VectorXd& z);

/// The proposal that weighed draws suggest: their mean and covariance, held by the last
/// proposal's covariance as if it were worth some draws of its own, so that a few lucky
/// draws do not make it flat. Weights sum to 1. Source: Cornuet, Marin, Mira, Robert
/// 2012; the hold by the last one is our own. Test: proposal, "many equal draws
/// outweigh the proposal they came from" and "one lucky draw does not make the next
/// proposal flat".
StudentT learn(std::span<const Eigen::VectorXd> draws, std::span<const double> weights,
               const StudentT& last);

}  // namespace drydepth
