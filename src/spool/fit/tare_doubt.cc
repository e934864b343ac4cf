#include "spool/fit/tare_doubt.h"

#include <cmath>

namespace drydepth {

TareError TareDoubt::known(std::size_t body) const {
  if (body == 0) return {};
  if (body != body_) return {.sd_kg = priors_->later_bodies[body - 1].tare_sd_kg};
  return {.offset_kg = offset_kg_[0], .sd_kg = std::sqrt(variance_kg2_)};
}

Eigen::RowVectorXd TareDoubt::residual(std::size_t body,
                                       const Eigen::RowVectorXd& difference_kg,
                                       double sd_kg) {
  if (body == 0) return difference_kg / sd_kg;
  if (body != body_) {
    const double sd = priors_->later_bodies[body - 1].tare_sd_kg;
    body_ = body;
    offset_kg_ = Eigen::RowVectorXd::Zero(difference_kg.size());
    variance_kg2_ = sd * sd;
  }
  const Eigen::RowVectorXd surprise = difference_kg - offset_kg_;
  const double variance = variance_kg2_ + sd_kg * sd_kg;
  const double gain = variance_kg2_ / variance;
  offset_kg_ += gain * surprise;
  variance_kg2_ *= 1.0 - gain;
  return surprise / std::sqrt(variance);
}

}  // namespace drydepth
