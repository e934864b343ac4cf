#include "rules/evidence_rules.h"

#include <catch2/catch.hpp>
#include <string>

#include "rules/data_sheet.h"

namespace drydepth {

TEST_CASE("every number of the evidence has a source, and odds stay modest") {
  const auto rules = load_evidence_rules();
  INFO((rules ? "" : rules.error().text()));
  REQUIRE(rules.has_value());
  const auto lines = sheet_lines(*rules);
  CHECK(lines.size() == 15);
  for (const SheetLine& line : lines) {
    INFO(line.name);
    CHECK_FALSE(line.number.source.empty());
    CHECK_FALSE(line.number.status.empty());
  }
  // Nothing that is only seen may count as a measurement: under ten to one.
  for (const SignRule* sign : {&rules->coupon, &rules->pops, &rules->strings}) {
    CHECK(sign->share_above.status == "common practice, no source");
    CHECK(sign->share_above.sd.has_value());
    CHECK(sign->share_above.value / sign->share_below.value < 10);
  }
}

TEST_CASE("an overlay patches the evidence, or is told what is wrong with it") {
  const struct {
    const char* label;
    const char* text;
    const char* error;
  } rows[] = {
      {"a patch",
       R"({"format": "drydepth-evidence/1", "pops": {"sign": {"share_above":
           {"value": 0.5}}}})",
       ""},
      {"no better above than below",
       R"({"format": "drydepth-evidence/1", "strings": {"sign": {"share_above":
           {"value": 0.4}}}})",
       "mine.json /strings/sign/share_above: it is seen no more often above than "
       "below; swap or mend share_above and share_below"},
      {"certain",
       R"({"format": "drydepth-evidence/1", "pops": {"sign": {"share_above":
           {"value": 1}}}})",
       "mine.json /pops/sign/share_above/value: expected a number from 0.01 to 0.99, "
       "got 1; write e.g. 0.6"},
      {"a key", R"({"format": "drydepth-evidence/1", "stings": {}})",
       "mine.json /stings: unknown key; did you mean strings? Known: format, piece, "
       "coupon, pops, strings, together_h"},
      {"a spread taken out",
       R"({"format": "drydepth-evidence/1", "coupon": {"offset_mm": {"sd": null}}})",
       "mine.json /coupon/offset_mm: its spread is missing; give sd, e.g. 0.1"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto rules = load_evidence_rules({{"evidence.json", "mine.json", row.text}});
    CHECK((rules ? "" : rules.error().text()) == row.error);
    if (rules) {
      CHECK(rules->pops.share_above.value == 0.5);
      CHECK(rules->pops.share_below.value == 0.08);  // as it came with the tool
    }
  }
}

}  // namespace drydepth
