#include "record/scale_log.h"

#include <catch2/catch.hpp>
#include <string>

#include "record/record_text.h"

namespace drydepth {
namespace {

TEST_CASE("a scale's file becomes weighings by time") {
  const auto readings =
      read_scale_log("time;weight (oz)\n2026-03-02T10:00Z;42,5\n2026-03-02T09:00Z;43\n",
                     "s.csv", 1e-4);
  REQUIRE(readings.has_value());
  REQUIRE(readings->size() == 2);
  CHECK(format_instant((*readings)[0].at) == "2026-03-02T09:00:00Z");
  CHECK((*readings)[1].gross_kg == Approx(42.5 * 0.028349523125));
  CHECK((*readings)[1].scale_sd_kg == 1e-4);
}

TEST_CASE("scale files that cannot be used") {
  struct Row {
    std::string text, error;
  };
  const Row rows[] = {
      {"time,mass\n2026-03-02T10:00Z,1200\n",
       "s.csv:1: the column \"mass\" does not say its unit; name it e.g. gross_g"},
      {"time,g\n2026-03-02T10:00Z,1200\n",
       "s.csv:1: no column holds the mass; name one gross_g"},
      {"minutes,gross_g\n0,1200\n",
       "s.csv:1: its times are counted from a start that nobody states; give moments "
       "with their zone, or unix seconds"},
      {"time,gross_g\n2026-03-02T10:00Z,1200\n2026-03-02T11:00Z,-\n",
       "s.csv:3: \"-\" is no mass above 0; mend or remove the row"},
      {"time,gross_g\n2026-03-02 10:00,1200\n",
       "s.csv:2: \"2026-03-02 10:00\" does not say its time zone; end it with Z for "
       "UTC "
       "or with an offset such as +01:00"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const auto readings = read_scale_log(row.text, "s.csv", 0);
    REQUIRE_FALSE(readings.has_value());
    CHECK(readings.error().text() == row.error);
  }
}

}  // namespace
}  // namespace drydepth
