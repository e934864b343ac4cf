#pragma once

#include <string>
#include <vector>

#include "record/record.h"

namespace drydepth {

/// What is odd about a storage, drying or print that is to be logged, a sentence each:
/// a dryer no warmer than a room, the same line twice.
std::vector<std::string> span_doubts(const SpoolRecord& record,
                                     const Interval& interval);

}  // namespace drydepth
