#include "rules/materials.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

namespace drydepth {
namespace {

std::vector<Material> built_in() {
  Result<std::vector<Material>> materials = load_materials();
  if (!materials) FAIL(materials.error().text());
  return *std::move(materials);
}

Material built_in(const std::string& id) {
  const Result<Material> material = find_material(built_in(), id, "test");
  REQUIRE(material.has_value());
  return *material;
}

Result<std::vector<Material>> overlaid(const std::string& text) {
  return load_materials({{"materials/mine.json", "mine.json", text}});
}

TEST_CASE("the materials that come with the tool") {
  std::string ids;
  for (const Material& material : built_in()) ids += material.id + " ";
  CHECK(ids ==
        "abs asa pa11 pa12 pa6 pa6-cf pa610 pa612 pa66 pa66-cf pa66-gf pc pc-abs peek "
        "pei pes pet petg pla ppa pps psu pva tpu ");
}

// Water content at 23 C against published points.
TEST_CASE("isotherms against their sources") {
  struct Row {
    std::string id;
    double humidity;
    double low_percent;
    double high_percent;
    std::string source;
  };
  const Row rows[] = {
      {"pa6", 0.50, 2.5, 3.1, "from memory, high"},
      {"pa6", 0.95, 8.0, 8.9, "8.3 % in Mettler-Toledo's note on sorption, within 7 %"},
      {"pa6", 1.00, 9.0, 10.0, "polyamide suppliers: 9 to over 10 %"},
      {"pa66", 0.60, 2.4, 2.6, "2.5 % by Toray"},
      {"pa66", 0.90, 4.75, 5.25, "about 5 %, Broudin et al. 2015, abstract"},
      {"pa610", 0.60, 1.49, 1.51, "1.5 % by Toray"},
      {"pa612", 1.00, 2.7, 2.9, "2.8 % by a stockist"},
      {"pei", 1.00, 1.389, 1.391, "1.39 % at 20 C, J. Appl. Polym. Sci. 77, 1439"},
      {"peek", 0.50, 0.1, 0.2, "source not recorded"},
      {"pps", 1.00, 0.02, 0.05, "from memory, medium"},
      {"asa", 0.50, 0.2, 0.35, "from memory, medium"},
      {"pet", 1.00, 0.5, 0.8, "0.8 volume percent, amorphous PET"},
      {"pa12", 1.00, 1.4, 1.4001, "1.4 % by a supplier"},
      {"pc", 1.00, 0.30, 0.35, "producer's drying note and a stockist"},
      {"abs", 0.10, 0.05, 0.05001, "0.05 % per 10 % RH, Hamrol et al. 2023, abstract"},
      {"petg", 1.00, 0.6, 0.8, "0.8 volume percent, amorphous PET"},
      {"pla", 1.00, 0.8, 1.0, "from memory, medium"},
      {"tpu", 1.00, 1.2, 1.8, "1.18-1.80 % printed, preprint 202604.1293, abstract"},
      {"pva", 0.50, 6, 8, "from memory, low"},
  };
  for (const Row& row : rows) {
    INFO(row.id << " at " << row.humidity << ", " << row.source);
    const Polymer polymer = to_polymer(built_in(row.id));
    const double percent =
        100 * equilibrium_content(polymer, row.humidity, kIsothermReferenceK);
    CHECK(percent >= row.low_percent * (1 - 1e-9));
    CHECK(percent <= row.high_percent * (1 + 1e-9));
  }
}

// Toray's 3.5 % for polyamide 6 at 23 C/60 % RH is known to disagree with the fit
// (3.96 %); the spread of the slope must at least reach out to it.
TEST_CASE("the spread of polyamide 6 covers the source that disagrees") {
  const Material pa6 = built_in("pa6");
  const double fit = equilibrium_content(to_polymer(pa6), 0.60, kIsothermReferenceK);
  CHECK(fit == Approx(0.0396).epsilon(0.002));
  REQUIRE(pa6.isotherm.slope.log_sd);
  CHECK(std::log(fit / 0.035) < 1.1 * *pa6.isotherm.slope.log_sd);
}

TEST_CASE("a polymer has the values of the model's reference strand, in SI") {
  const Polymer pa6 = to_polymer(built_in("pa6"));
  CHECK(pa6.density_kg_m3 == 1130);
  CHECK(pa6.heat_capacity_j_kg_k == 1650);
  CHECK(pa6.isotherm_slope == 0.045);
  CHECK(pa6.isotherm_curvature == 0.53);
  CHECK(pa6.heat_of_mixing_j_mol == -4000);
  CHECK(pa6.diffusivity_ref_m2_s == 2e-13);
  CHECK(pa6.diffusivity_ref_k == 296.15);
  CHECK(pa6.activation_j_mol == 55000);
  CHECK(pa6.plasticisation == Approx(std::log(10.0)).epsilon(1e-6));
  CHECK(limit_of(built_in("pa6"), Limit::kCosmetic).value == Approx(0.005));
  CHECK(limit_of(built_in("pa6"), Limit::kStrength).value == Approx(0.002));
}

// "20 % CF with 0.20 % total = 0.25 % on polymer": a compounder's rule, here the other
// way round; density from the volumes of both parts, fibre 1800 kg/m3 from memory.
TEST_CASE("a fibre-filled grade follows from its polymer") {
  struct Row {
    std::string filled, neat;
    double fibre_kg_m3;
  };
  const Row rows[] = {
      {"pa6-cf", "pa6", 1800}, {"pa66-cf", "pa66", 1800}, {"pa66-gf", "pa66", 2540}};
  for (const Row& row : rows) {
    INFO(row.filled);
    const Material neat = built_in(row.neat);
    const Material filled = built_in(row.filled);
    REQUIRE(filled.fibre_mass_fraction);
    const double w = filled.fibre_mass_fraction->value;
    CHECK(filled.isotherm.slope.value == Approx((1 - w) * neat.isotherm.slope.value));
    CHECK(filled.limit_percent.strength.value ==
          Approx((1 - w) * neat.limit_percent.strength.value));
    CHECK(filled.limit_percent.cosmetic.value ==
          Approx((1 - w) * neat.limit_percent.cosmetic.value));
    CHECK(filled.density_kg_m3.value ==
          Approx(1 / (w / row.fibre_kg_m3 + (1 - w) / neat.density_kg_m3.value))
              .epsilon(0.001));
  }
}

// +8 % from 20 to 100 C, and the two end values of D: the abstract of "Humid aging of
// polyetherimide I", J. Appl. Polym. Sci. 77 (2000) 1439.
TEST_CASE("polyetherimide against its measurements at two temperatures") {
  const Polymer pei = to_polymer(built_in("pei"));
  const double cold = equilibrium_content(pei, 1.0, 293.15);
  const double hot = equilibrium_content(pei, 1.0, 373.15);
  CHECK(hot / cold == Approx(1.50 / 1.39).epsilon(0.01));
  const double ratio =
      std::exp(pei.activation_j_mol / 8.314462618 * (1 / 293.15 - 1 / 373.15));
  // 16 by the end values, 44 by the energy the abstract quotes.
  CHECK(ratio > 16);
  CHECK(ratio < 44);
}

// "About 0.20 times D of polyamide 66", W. Hamm, Plastics Technology.
TEST_CASE("polyphthalamide against polyamide 66") {
  CHECK(built_in("ppa").diffusivity.reference_m2_s.value ==
        Approx(0.2 * built_in("pa66").diffusivity.reference_m2_s.value));
}

TEST_CASE("every material: order of its numbers") {
  for (const Material& material : built_in()) {
    INFO(material.id);
    CHECK(material.limit_percent.strength.value <=
          material.limit_percent.cosmetic.value);
    CHECK(material.drying_max_c.value < material.nozzle_min_c.value);
    CHECK(saturation_content(to_polymer(material)) >
          limit_of(material, Limit::kStrength).value);
    CHECK(material.file == "rules/materials/" + material.id + ".json");
  }
  CHECK(built_in("tpu").flexible);
  CHECK_FALSE(built_in("pa6").flexible);
}

TEST_CASE("an overlay patches one number and keeps the rest") {
  const auto materials = overlaid(R"({"format": "drydepth-material/1", "id": "pa6",
    "limits": {"cosmetic_percent": {"value": 0.4, "source": "own print tests",
                                    "status": "read"}}})");
  REQUIRE(materials.has_value());
  const Material pa6 = *find_material(*materials, "pa6", "test");
  CHECK(pa6.limit_percent.cosmetic.value == 0.4);
  CHECK(pa6.limit_percent.cosmetic.source == "own print tests");
  CHECK(pa6.limit_percent.strength.value == 0.2);
  CHECK(pa6.file == "mine.json");
  CHECK(materials->size() == built_in().size());
}

TEST_CASE("errors of a material file") {
  struct Row {
    std::string label;
    std::string patch;
    std::string error;
  };
  const Row rows[] = {
      {"no JSON", "{",
       "mine.json:1:2: the JSON ends too early; the file looks cut short; "
       "finish it or take it from a copy"},
      {"no id", "{}",
       "mine.json /id: the id that records use is missing; write e.g. "
       "\"pa6\""},
      {"format", R"({"id": "pa6", "format": "drydepth-material/2"})",
       "mine.json /format: unknown word \"drydepth-material/2\"; did you mean "
       "drydepth-material/1? Known: drydepth-material/1"},
      {"unknown key", R"({"id": "pa6", "limits": {"cosmetic": {}}})",
       "mine.json /limits/cosmetic: unknown key; did you mean cosmetic_percent? "
       "Known: "
       "cosmetic_percent, strength_percent"},
      {"bare number", R"({"id": "pa6", "density_kg_m3": 1130})",
       "mine.json /density_kg_m3: expected an object, got 1130; write { ... } there"},
      {"density in g/cm3", R"({"id": "pa6", "density_kg_m3": {"value": 1.13}})",
       "mine.json /density_kg_m3/value: expected a number of kg/m3 from 500 to 3000, "
       "got "
       "1.13; that looks like g/cm3: write 1130"},
      {"pole of the isotherm",
       R"({"id": "pa6", "isotherm": {"curvature": {"value": 1}}})",
       "mine.json /isotherm/curvature/value: expected a number from 0 to 0.95, got 1; "
       "write e.g. 0.53"},
      {"two spreads", R"({"id": "pa6", "density_kg_m3": {"sd": 10}})",
       "mine.json /density_kg_m3/sd: sd and log_sd are both given; keep the one that "
       "was "
       "estimated"},
      {"status", R"({"id": "pa6", "density_kg_m3": {"status": "measured"}})",
       "mine.json /density_kg_m3/status: unknown word \"measured\"; known: read, "
       "derived, "
       "from memory, common practice, no source, own choice"},
      {"no source", R"({"id": "pa6", "density_kg_m3": {"source": ""}})",
       "mine.json /density_kg_m3/source: expected the source in words, got \"\"; write "
       "e.g. \"data sheet of the maker, 2025\""},
      {"nozzle", R"({"id": "pa6", "nozzle": {"min_c": {"value": 300}}})",
       "mine.json /nozzle/min_c: the lowest nozzle temperature is not below the "
       "highest; "
       "swap or mend the two"},
      {"a new one must be whole",
       R"({"id": "pa4", "format": "drydepth-material/1", "name": "polyamide 4"})",
       "mine.json /density_kg_m3: this object is missing; write { ... } there"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const auto materials = overlaid(row.patch);
    REQUIRE_FALSE(materials.has_value());
    CHECK(materials.error().text() == row.error);
  }
}

TEST_CASE("an unknown material names the nearest") {
  const Result<Material> material = find_material(built_in(), "pa-6", "K-07.json");
  REQUIRE_FALSE(material.has_value());
  CHECK(material.error().text() ==
        "K-07.json: unknown material \"pa-6\"; did you mean pa6? Known: abs, asa, "
        "pa11, pa12, pa6, pa6-cf, pa610, pa612, pa66, pa66-cf, pa66-gf, pc, pc-abs, "
        "peek, pei, pes, pet, petg, pla, ppa, pps, psu, pva, tpu");
}

}  // namespace
}  // namespace drydepth
