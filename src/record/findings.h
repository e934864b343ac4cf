#pragma once

// What can be found out about the outermost wraps, which a scale under the whole spool
// hardly sees: three events of a record.

#include <optional>
#include <string_view>
#include <vector>

#include "base/time.h"

namespace drydepth {

/// A pocket scale that shows hundredths: common practice, no source.
constexpr double kPieceScaleSdKg = 1e-5;

/// A piece cut from the outermost wraps, weighed, dried out by itself, weighed again.
struct Piece {
  Instant at{};  ///< of the cut
  double before_kg = 0;
  double after_kg = 0;
  double scale_sd_kg = 0;           ///< 10 mg where the record does not say
  std::optional<double> dried_k{};  ///< absent: what the material stands
};

/// A length as drawn and as the caliper finds it.
struct CouponLength {
  double design_m = 0;
  double measured_m = 0;
};

/// Two printed lengths or more.
struct Coupon {
  Instant at{};  ///< of the print
  std::vector<CouponLength> lengths{};
  double caliper_sd_m = 0;  ///< 0.02 mm where the record does not say
};

/// Filament pushed out into the air: what was heard and seen. One of the two at least.
struct Purge {
  Instant at{};
  std::optional<bool> pops{};      ///< heard or not
  std::optional<int> pop_count{};  ///< where they were counted
  std::optional<bool> strings{};
  double length_m = 0;  ///< pushed out, and so used up; 0: not recorded
};

enum class FindingKind { kPiece, kCoupon, kPurge };

/// "piece", "coupon", "purge".
std::string_view kind_name(FindingKind kind);

}  // namespace drydepth
