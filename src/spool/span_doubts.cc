#include "spool/span_doubts.h"

#include <algorithm>

#include "base/numbers.h"
#include "base/units.h"

namespace drydepth {
namespace {

// A hot day; no dryer for filament is set below it (common practice, no source).
constexpr double kColdestDryerC = 35;

bool is_same(const Event& logged, const Interval& interval) {
  const auto* other = std::get_if<Interval>(&logged);
  return other != nullptr && other->kind == interval.kind &&
         other->from == interval.from;
}

}  // namespace

std::vector<std::string> span_doubts(const SpoolRecord& record,
                                     const Interval& interval) {
  std::vector<std::string> out;
  const auto* heater = interval.air ? std::get_if<HeaterAir>(&*interval.air) : nullptr;
  if (interval.kind == SpanKind::kDrying && heater != nullptr) {
    const double t_c = to_celsius(Kelvin{heater->temperature_k}).value;
    if (t_c < kColdestDryerC) {
      out.push_back(format_fixed(t_c, 0) +
                    " C is no warmer than a room can be: is that the dryer's "
                    "temperature?");
    }
  }
  const bool again =
      std::any_of(record.events.begin(), record.events.end(),
                  [&](const Event& logged) { return is_same(logged, interval); });
  if (again) {
    out.push_back("a " + std::string(kind_name(interval.kind)) +
                  " from that moment on is recorded already: is this the same line a "
                  "second time?");
  }
  return out;
}

}  // namespace drydepth
