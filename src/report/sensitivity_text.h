#pragma once

#include <string>

#include "base/json_text.h"
#include "report/report.h"

namespace drydepth {

/// What the estimate hangs on, as a table, largest share first, with what would narrow
/// the first. Report::sensitivity must be there.
void sensitivity_section(std::string& out, const Report& report);

/// The same as data.
Json sensitivity_json(const Report& report);

}  // namespace drydepth
