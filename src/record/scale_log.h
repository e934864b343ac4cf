#pragma once

#include <string_view>
#include <vector>

#include "base/result.h"
#include "record/record.h"

namespace drydepth {

/// The readings of a scale's CSV file, by time: a time column with moments and their
/// zone (or unix), and a column mass, weight or gross with g, kg, oz or lb in its name.
/// Error for the first row that cannot be read, and for more than 500: the fit gains
/// nothing from a reading every second.
Result<std::vector<Weighing>> read_scale_log(std::string_view text,
                                             std::string_view file, double scale_sd_kg);

}  // namespace drydepth
