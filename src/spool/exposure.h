#pragma once

#include <optional>

#include "spool/timeline.h"

namespace drydepth {

/// Above this, hours count towards ageing and a warped body: 60 C (common practice, no
/// source).
constexpr double kHotK = 333.15;

/// How long a spool has stood in which air.
struct Exposure {
  std::optional<double> since_drying_s{};  ///< out of heat since the last drying's end
  double hot_s = 0;                        ///< above kHotK, over its whole life
};
Exposure exposure_of(const Timeline& timeline);

}  // namespace drydepth
