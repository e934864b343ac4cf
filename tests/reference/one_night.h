#pragma once

// A run that workshops tell of (common practice, no source; nobody here has weighed
// it): a nylon spool of 1 kg, two months in open air and at about 2.6 % mean, in air of
// 80 to 84 C; after one night, 8 to 14 h, it is at about 1.6 % mean and its outer wraps
// print clean. Where do the priors put that run?

#include <optional>
#include <vector>

#include "inference/ensemble.h"

namespace drydepth::one_night {

inline constexpr double kStartContent = 0.026;
inline constexpr double kToldContent = 0.016;
inline constexpr double kEarliestHours = 8, kMiddleHours = 11, kLatestHours = 14;

/// The spool after some hours: mean, the outermost wound layer, and the outer three.
struct Moment {
  double hours = 0;
  Percentiles mean{}, outermost{}, outer_three{};
};

/// Over an ensemble of the priors: pa6 as in the rule files, hub of 80 mm, 55 mm wide,
/// 1 kg, at 2.6 +- 0.1 % everywhere, in a fan dryer at 82 C in room air of 23 C, 45 %.
std::vector<Moment> foreseen(const std::vector<double>& hours, std::size_t members);

/// What the told mean would mean, all else at central values.
struct Implied {
  double gap_factor = 0;
  double outermost = 0;     ///< content of the outermost wound layer, kg/kg
  double dry_depth_kg = 0;  ///< below the cosmetic limit
};

/// With the gap factor that puts the mean at what is told after these hours; nothing
/// where none from 0.002 to 1 does.
std::optional<Implied> implied(double hours);

}  // namespace drydepth::one_night
