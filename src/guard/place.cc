#include "guard/place.h"

#include <algorithm>
#include <cmath>

namespace drydepth {

Place place_of(const Trace& trace, const ToolTrace& tool, double length_mm) {
  Place out{.length_mm = length_mm};
  const std::vector<TracePoint>& points = tool.points;
  if (points.empty()) return out;
  const auto after = std::lower_bound(
      points.begin(), points.end(), length_mm,
      [](const TracePoint& p, double length) { return p.length_mm < length; });
  if (after == points.begin() || after == points.end()) {
    const TracePoint& p = after == points.end() ? points.back() : points.front();
    out.time_s = p.time_s;
    out.line = p.line;
    out.layer = p.layer;
  } else {
    const TracePoint& a = *(after - 1);
    const TracePoint& b = *after;
    const double part = (length_mm - a.length_mm) / (b.length_mm - a.length_mm);
    out.time_s = a.time_s + part * (b.time_s - a.time_s);
    out.line = a.line + static_cast<std::uint64_t>(
                            std::floor(part * static_cast<double>(b.line - a.line)));
    // The last layer that has begun by then.
    out.layer = a.layer;
    while (out.layer < b.layer && trace.layers[out.layer + 1].line <= out.line) {
      ++out.layer;
    }
  }
  if (out.layer < trace.layers.size()) out.z_mm = trace.layers[out.layer].z_mm;
  return out;
}

}  // namespace drydepth
