#include "spool/span_doubts.h"

#include <catch2/catch.hpp>

#include "base/units.h"

namespace drydepth {
namespace {

Instant hour(int hours) { return Instant(std::chrono::hours(hours)); }

Interval span(SpanKind kind, Instant from, std::optional<double> heated_c = {}) {
  Interval out{.kind = kind, .from = from};
  if (heated_c) {
    out.air = HeaterAir{.temperature_k = to_kelvin(Celsius{*heated_c}).value};
  }
  return out;
}

TEST_CASE("odd storages, dryings and prints") {
  SpoolRecord record;
  record.events = {span(SpanKind::kStorage, hour(0)),
                   span(SpanKind::kDrying, hour(10), 80)};
  struct Row {
    const char* label;
    Interval interval;
    std::vector<std::string> doubts;
  };
  const std::string cold =
      "8 C is no warmer than a room can be: is that the dryer's temperature?";
  const std::string again =
      "a drying from that moment on is recorded already: is this the same line a "
      "second time?";
  const Row rows[] = {
      {"a dryer", span(SpanKind::kDrying, hour(20), 80), {}},
      {"a cold one", span(SpanKind::kDrying, hour(20), 8), {cold}},
      {"just warm", span(SpanKind::kDrying, hour(20), 35), {}},
      {"the same again", span(SpanKind::kDrying, hour(10), 80), {again}},
      {"and cold", span(SpanKind::kDrying, hour(10), 8), {cold, again}},
      {"another at that moment", span(SpanKind::kStorage, hour(10)), {}},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    CHECK(span_doubts(record, row.interval) == row.doubts);
  }
}

}  // namespace
}  // namespace drydepth
