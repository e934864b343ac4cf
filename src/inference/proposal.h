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

/// From a mean and a covariance; the covariance must be positive definite.
StudentT student_t(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance);

Eigen::VectorXd draw(const StudentT& proposal, std::uint64_t& state);

/// Up to a constant that all of them share.
double log_density(const StudentT& proposal, const Eigen::VectorXd& z);

/// log of the mixture of proposals in equal parts.
double log_density(std::span<const StudentT> mixture, const Eigen::VectorXd& z);

/// The proposal that weighed draws suggest: their mean and covariance, held by the last
/// proposal's covariance as if it were worth some draws of its own, so that a few lucky
/// draws do not make it flat. Weights sum to 1.
StudentT learn(std::span<const Eigen::VectorXd> draws, std::span<const double> weights,
               const StudentT& last);

}  // namespace drydepth
