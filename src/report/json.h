#pragma once

#include "base/json_text.h"
#include "report/report.h"

namespace drydepth {

/// The report as "drydepth-report/1". Numbers are rounded where their last digits mean
/// nothing (moisture to 0.0001 %, mass to 0.001 g, time to 0.1 s), so that the text is
/// the same on every machine. Ranges are {p10, p50, p90}, or one number when nominal.
Json report_json(const Report& report);

/// A value to the nearest multiple of a unit, as its short decimal.
double rounded(double value, double unit);

/// An air as records write it.
Json air_json(const AirSpec& air);

/// The wound layers of a spool, outermost first.
Json layers_json(const Report& report, const SpoolReport& spool);

/// One spool as `estimate` gives it.
Json estimate_json(const Report& report);

}  // namespace drydepth
