#include "rules/rule_check.h"

#include <catch2/catch.hpp>
#include <string>

#include "rules/data_sheet.h"

namespace drydepth {
namespace {

TEST_CASE("every rule file that comes with the tool passes by itself") {
  for (const RuleText& file : rule_texts("", {})) {
    const bool known = file.path.starts_with("materials/") ||
                       file.path.starts_with("firmware/") ||
                       file.path == "bodies.json" || file.path == "evidence.json";
    if (!known) continue;
    INFO(file.path);
    const auto what = check_rule_file(file);
    CHECK((what ? "" : what.error().text()) == "");
  }
}

TEST_CASE("what a rule file is, or what is wrong with it") {
  struct Row {
    std::string label, text, said;
  };
  const Row rows[] = {
      {"a patch",
       R"({"format": "drydepth-material/1", "id": "pa6", "limits": {"cosmetic_percent":
           {"value": 0.4, "source": "own tests", "status": "read"}}})",
       "material pa6 (polyamide 6)"},
      {"bodies",
       R"({"format": "drydepth-body/1", "bodies": [{"kind": "tin", "name": "tin",
           "heat_ceiling_c": {"value": 150, "source": "own", "status": "read"}}]})",
       "1 kinds of spool bodies"},
      {"syntax", "{\n \"format\": \n",
       "mine.json:3:1: the JSON ends too early; the file looks cut short; finish it or "
       "take it from a copy"},
      {"format", R"({"format": "drydepth-matter/1"})",
       "mine.json /format: unknown word \"drydepth-matter/1\"; did you mean "
       "drydepth-material/1? Known: drydepth-material/1, drydepth-body/1, "
       "drydepth-firmware/1, drydepth-policy/1, drydepth-evidence/1"},
      {"key", R"({"format": "drydepth-material/1", "id": "pa6", "limit": {}})",
       "mine.json /limit: unknown key; did you mean limits? Known: format, id, name, "
       "density_kg_m3, heat_capacity_j_kg_k, isotherm, diffusivity, limits, drying, "
       "nozzle, fibre_mass_fraction, flexible, warps"},
      {"range",
       R"({"format": "drydepth-material/1", "id": "pa6", "density_kg_m3": {"value": 1.13}})",
       "mine.json /density_kg_m3/value: expected a number of kg/m3 from 500 to 3000, "
       "got "
       "1.13; that looks like g/cm3: write 1130"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const auto what = check_rule_file({"mine.json", "mine.json", row.text});
    CHECK((what ? *what : what.error().text()) == row.said);
  }
}

TEST_CASE("a data sheet has every number with its spread") {
  const auto materials = load_materials();
  REQUIRE(materials.has_value());
  const auto neat = sheet_lines(*find_material(*materials, "pa6", "test"));
  const auto filled = sheet_lines(*find_material(*materials, "pa6-cf", "test"));
  CHECK(neat.size() == 14);
  CHECK(filled.size() == 15);
  for (const SheetLine& line : neat) {
    INFO(line.name);
    CHECK_FALSE(line.number.source.empty());
    CHECK_FALSE(line.number.status.empty());
  }
  Sourced number;
  CHECK(spread_text(number) == "-");
  number.log_sd = 0.7;
  CHECK(spread_text(number) == "x/ 2.01");
  number.sd = 0.05;
  CHECK(spread_text(number) == "+- 0.05");
}

}  // namespace
}  // namespace drydepth
