#pragma once

#include <cstdint>

#include "inference/posterior.h"

namespace drydepth {

/// The posterior of the additive unknowns at one trial of the bending ones: with
/// residuals r + S l and l standard normal it is the Gaussian of mean -M^-1 S'r and
/// covariance M^-1, M = I + S'S. All numbers without a unit. Source: linear Gaussian
/// regression, completed square (derived; docs/model.md, "From weighings to an
/// ensemble"). Test: additive, "what is integrated out is the Gaussian of the
/// readings".
struct Additive {
  Eigen::VectorXd mean;
  Eigen::MatrixXd root;  ///< upper triangle U of M = U'U
  /// log of the likelihood with the additive unknowns integrated out, up to a constant.
  double log_evidence = 0;
  /// r + S mean, then mean: its square is what the evidence has in place of |r|^2.
  Eigen::VectorXd residual;
};
Additive integrate_out(const Misfit& misfit);

/// A draw of the additive unknowns. Test: additive, "draws have the conditional mean
/// and covariance".
Eigen::VectorXd draw_additive(const Additive& additive, std::uint64_t& state);

/// n independent standard normals.
Eigen::VectorXd normals(Eigen::Index n, std::uint64_t& state);

}  // namespace drydepth
