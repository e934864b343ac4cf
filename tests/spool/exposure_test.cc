#include "spool/exposure.h"

#include <catch2/catch.hpp>
#include <string>

#include "record/record_text.h"
#include "spool/lot.h"

namespace drydepth {
namespace {

Exposure exposed(const std::string& events, const std::string& at) {
  const auto timeline = make_timeline(read(record_text(events)), utc(at), {});
  REQUIRE(timeline.has_value());
  return exposure_of(*timeline);
}

TEST_CASE("hours out of heat and hours above 60 C") {
  const std::string drying =
      R"({"type": "drying", "from": "2026-03-02T10:00:00Z", "to": "2026-03-02T20:00:00Z",
          "air": {"temperature_c": 80}})";
  const std::string warm =
      R"({"type": "drying", "from": "2026-03-02T10:00:00Z", "to": "2026-03-02T20:00:00Z",
          "air": {"temperature_c": 55}})";
  const std::string live =
      R"(,{"type": "print", "from": "2026-03-02T20:00:00Z", "to": "2026-03-02T22:00:00Z",
          "used_g": 20, "feed": "live-dryer", "air": {"temperature_c": 70}})";
  CHECK_FALSE(exposed("", "2026-03-03T08:00:00Z").since_drying_s.has_value());
  const Exposure stored = exposed(drying, "2026-03-03T08:00:00Z");
  CHECK(stored.hot_s == 10 * 3600);
  CHECK(stored.since_drying_s == 12 * 3600);
  const Exposure printed = exposed(drying + live, "2026-03-03T08:00:00Z");
  CHECK(printed.hot_s == 12 * 3600);
  CHECK(printed.since_drying_s == 10 * 3600);
  CHECK(exposed(warm, "2026-03-02T20:00:00Z").hot_s == 0);
}

TEST_CASE("limits of the lot win") {
  const auto materials = load_materials();
  REQUIRE(materials.has_value());
  const Material pa6 = *find_material(*materials, "pa6", "test");
  const std::string text =
      replaced(record_text(""), R"("pa6",)",
               R"("pa6", "limits": {"cosmetic_percent": 0.3, "drying_max_c": 70},)");
  const Material lot = of_lot(read(text), pa6);
  CHECK(lot.limit_percent.cosmetic.value == 0.3);
  CHECK(lot.limit_percent.cosmetic.source == "limits of the record T.json");
  CHECK(lot.drying_max_c.value == 70);
  CHECK(lot.limit_percent.strength.value == pa6.limit_percent.strength.value);
}

}  // namespace
}  // namespace drydepth
