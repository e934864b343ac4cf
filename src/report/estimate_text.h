#pragma once

#include <string>

#include "report/report.h"

namespace drydepth {

/// The estimate of one spool for a terminal: moisture by depth as numbers and as a
/// small chart, what drying on would do, which reading would tell most.
std::string estimate_text(const Report& report, const LocalZone& zone);

}  // namespace drydepth
