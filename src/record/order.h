#pragma once

#include "base/result.h"
#include "record/record.h"

namespace drydepth {

/// Net masses run up to 5 % above the label: common practice, no source.
inline constexpr double kOverLabel = 1.05;

/// Error for the first event that lies before the opening, stands behind a later one,
/// overlaps another or weighs less than the empty spool. Done by read_record.
Result<Done> check_order(const SpoolRecord& record);

}  // namespace drydepth
