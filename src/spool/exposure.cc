#include "spool/exposure.h"

namespace drydepth {
namespace {

double temperature_of(const Span& span) {
  const double end_k = span.air_end ? span.air_end->temperature_k : 0;
  if (const auto* heater = std::get_if<HeaterAir>(&span.air)) {
    return heater->temperature_k;
  }
  const auto* stated = std::get_if<StatedAir>(&span.air);
  if (stated == nullptr) return 0;
  return span.air_end ? (stated->temperature_k + end_k) / 2 : stated->temperature_k;
}

}  // namespace

Exposure exposure_of(const Timeline& timeline) {
  Exposure out;
  for (const Span& span : timeline.spans) {
    const double length_s = seconds_between(span.from, span.to);
    const bool heated = span.kind == SpanKind::kDrying || span.feed == Feed::kLiveDryer;
    if (temperature_of(span) > kHotK) out.hot_s += length_s;
    if (span.kind == SpanKind::kDrying) out.since_drying_s = 0;
    if (!heated && out.since_drying_s) *out.since_drying_s += length_s;
  }
  return out;
}

}  // namespace drydepth
