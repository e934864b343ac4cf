#pragma once

#include <Eigen/Core>

#include "spool/priors.h"

namespace drydepth {

/// What the readings on a later body have said of its tare so far.
struct TareError {
  double offset_kg = 0;  ///< to be taken from a foreseen mass
  double sd_kg = 0;      ///< that the tare adds to the spread of the next reading
};

/// Residuals of readings, in their order, with the tare of every body behind a respool
/// taken out.
///
/// Readings on one later body share the error of its tare, a normal that no unknown of
/// the members stands for. Its effect is exact all the same: each reading is held
/// against what the earlier ones on that body have said of the tare, which is the
/// Cholesky factor of their covariance applied one reading at a time (a scalar Kalman
/// filter), so that the squares sum to the likelihood with the tare integrated out. It
/// is linear, so that it goes for the slopes of a residual as for the residual itself.
/// Test: tare_doubt, against that covariance.
class TareDoubt {
 public:
  explicit TareDoubt(const SpoolPriors& priors) : priors_(&priors) {}

  /// Foreseen less read, and whatever else moves it (a column each, as many each time),
  /// over what they may differ by; on the first body that is sd_kg.
  Eigen::RowVectorXd residual(std::size_t body, const Eigen::RowVectorXd& difference_kg,
                              double sd_kg);

  /// Before the next reading on that body; nothing on the first one.
  TareError known(std::size_t body) const;

 private:
  const SpoolPriors* priors_;
  std::size_t body_ = 0;
  // Of the foreseen tare, as known so far.
  Eigen::RowVectorXd offset_kg_;
  double variance_kg2_ = 0;
};

}  // namespace drydepth
