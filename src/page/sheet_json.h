#pragma once

#include "base/json_text.h"
#include "report/report.h"

namespace drydepth {

/// All that the job sheet is drawn from: report_json, each spool with its wound layers
/// ("layers"), its course by the scale ("course", where the report holds one) and its
/// two clocks, and whether the edits were written.
Json sheet_json(const Report& report);

}  // namespace drydepth
