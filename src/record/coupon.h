#pragma once

// The two-length test: printed lengths against drawn ones.
//
//   measured = scale design + offset
// The scale is what grows with the length: shrink on cooling, and the water the part
// has taken up. The offset does not: the width of the printed line, and so foam in it.

#include <cstddef>
#include <span>
#include <string_view>

#include "base/result.h"
#include "record/findings.h"

namespace drydepth {

/// What one reading of a caliper repeats to: common practice, no source.
constexpr double kCaliperSdM = 0.02e-3;

struct CouponFit {
  double scale = 0, scale_sd = 0;
  double offset_m = 0, offset_sd_m = 0;
  std::size_t lengths = 0;
  /// Root of chi2 over its freedom with more than two lengths, else 0. Above 1 the
  /// lengths scatter more than the caliper; both deviations are larger by it then.
  double scatter = 0;
};

/// Least squares of the line above, the caliper's deviation the same for all lengths;
/// for two of them u(scale) = sqrt(2) sd/(d2 - d1), u(offset) = sd hypot(d1, d2)/(d2 -
/// d1). Error (without a place): fewer than two lengths, no two that differ, a length
/// that is not near its drawn one (inches, another line). Test: coupon.
Result<CouponFit> fit_coupon(std::span<const CouponLength> lengths,
                             double caliper_sd_m);

/// "100=99.47": drawn and measured, mm. Error without a place.
Result<CouponLength> parse_coupon_length(std::string_view text);

/// "0.02" or "0.02mm": m. Error without a place.
Result<double> parse_caliper_sd(std::string_view text);

}  // namespace drydepth
