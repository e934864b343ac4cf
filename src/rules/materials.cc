#include "rules/materials.h"

#include <map>
#include <utility>

#include "base/json_reader.h"
#include "base/json_value.h"
#include "base/nearest.h"

namespace drydepth {
namespace {

constexpr NumberRule kDensity{.unit = "kg/m3",
                              .min = 500,
                              .max = 3000,
                              .example = "1130",
                              .slip_unit = "g/cm3",
                              .slip_factor = 1000};
constexpr NumberRule kHeatCapacity{.unit = "J/(kg K)",
                                   .min = 300,
                                   .max = 5000,
                                   .example = "1650",
                                   .slip_unit = "kJ/(kg K)",
                                   .slip_factor = 1000};
constexpr NumberRule kSlope{.unit = "kg/kg per unit activity",
                            .min = 0,
                            .max = 0.5,
                            .example = "0.045",
                            .above_min = true,
                            .slip_unit = "percent",
                            .slip_factor = 0.01};
// The isotherm has its pole at activity 1/q, which must stay out of reach.
constexpr NumberRule kCurvature{.min = 0, .max = 0.95, .example = "0.53"};
constexpr NumberRule kHeatOfMixing{
    .unit = "J/mol", .min = -30000, .max = 30000, .example = "-4000"};
constexpr NumberRule kDiffusivity{
    .unit = "m2/s", .min = 0, .max = 1e-8, .example = "2e-13", .above_min = true};
constexpr NumberRule kReferenceC{
    .unit = "degrees Celsius", .min = -40, .max = 200, .example = "23"};
constexpr NumberRule kActivation{.unit = "J/mol",
                                 .min = 1000,
                                 .max = 200000,
                                 .example = "55000",
                                 .slip_unit = "kJ/mol",
                                 .slip_factor = 1000};
constexpr NumberRule kPlasticisation{.min = 0, .max = 10, .example = "2.3"};
constexpr NumberRule kNozzle{
    .unit = "degrees Celsius", .min = 100, .max = 500, .example = "250"};
constexpr NumberRule kFibre{.min = 0,
                            .max = 0.7,
                            .example = "0.2",
                            .above_min = true,
                            .slip_unit = "percent",
                            .slip_factor = 0.01};

void read_moisture(JsonReader& in, Material& out) {
  JsonReader isotherm = in.object("isotherm");
  isotherm.only_keys({"slope", "curvature", "heat_of_mixing_j_mol"});
  out.isotherm.slope = read_sourced(isotherm, "slope", kSlope);
  out.isotherm.curvature = read_sourced(isotherm, "curvature", kCurvature);
  out.isotherm.heat_of_mixing_j_mol =
      read_sourced(isotherm, "heat_of_mixing_j_mol", kHeatOfMixing);

  JsonReader diffusivity = in.object("diffusivity");
  diffusivity.only_keys(
      {"reference_m2_s", "reference_c", "activation_j_mol", "plasticisation"});
  out.diffusivity.reference_m2_s =
      read_sourced(diffusivity, "reference_m2_s", kDiffusivity);
  out.diffusivity.reference_c = read_sourced(diffusivity, "reference_c", kReferenceC);
  out.diffusivity.activation_j_mol =
      read_sourced(diffusivity, "activation_j_mol", kActivation);
  out.diffusivity.plasticisation =
      read_sourced(diffusivity, "plasticisation", kPlasticisation);
}

void read_limits(JsonReader& in, Material& out) {
  JsonReader limits = in.object("limits");
  limits.only_keys({"cosmetic_percent", "strength_percent"});
  out.limit_percent = {read_sourced(limits, "cosmetic_percent", kLimitRange),
                       read_sourced(limits, "strength_percent", kLimitRange)};

  JsonReader drying = in.object("drying");
  drying.only_keys({"max_c"});
  out.drying_max_c = read_sourced(drying, "max_c", kDryingCeilingRange);

  JsonReader nozzle = in.object("nozzle");
  nozzle.only_keys({"min_c", "max_c"});
  out.nozzle_min_c = read_sourced(nozzle, "min_c", kNozzle);
  out.nozzle_max_c = read_sourced(nozzle, "max_c", kNozzle);
  if (out.nozzle_min_c.value >= out.nozzle_max_c.value) {
    nozzle.fail("min_c", "the lowest nozzle temperature is not below the highest",
                "swap or mend the two");
  }
}

Result<Material> read_material(const Json& json, const std::string& name) {
  JsonErrors errors{name, {}};
  JsonReader in(json, errors);
  in.only_keys({"format", "id", "name", "density_kg_m3", "heat_capacity_j_kg_k",
                "isotherm", "diffusivity", "limits", "drying", "nozzle",
                "fibre_mass_fraction", "flexible", "warps"});
  in.choice("format", {"drydepth-material/1"});
  Material out;
  out.file = name;
  out.text = json.dump();
  out.id = in.text("id", "the id that records use", "pa6");
  out.name = in.text("name", "a name for people", "polyamide 6");
  out.density_kg_m3 = read_sourced(in, "density_kg_m3", kDensity);
  out.heat_capacity_j_kg_k = read_sourced(in, "heat_capacity_j_kg_k", kHeatCapacity);
  read_moisture(in, out);
  read_limits(in, out);
  out.fibre_mass_fraction = optional_sourced(in, "fibre_mass_fraction", kFibre);
  out.flexible = in.flag_or("flexible", false);
  out.warps = in.flag_or("warps", false);
  if (errors.first) return *errors.first;
  return out;
}

struct NamedJson {
  Json json;
  std::string name;
};

Result<std::map<std::string, NamedJson>> patched_files(
    const std::vector<RuleText>& overlay) {
  std::map<std::string, NamedJson> by_id;
  for (const RuleText& file : rule_texts("materials/", overlay)) {
    const Result<Json> json = parse_json(file.text, file.name);
    if (!json) return json.error();
    JsonErrors errors{file.name, {}};
    const std::string id =
        JsonReader(*json, errors).text("id", "the id that records use", "pa6");
    if (errors.first) return *errors.first;
    NamedJson& entry = by_id[id];
    entry.json.merge_patch(*json);
    entry.name = file.name;
  }
  return by_id;
}

}  // namespace

Result<std::vector<Material>> load_materials(const std::vector<RuleText>& overlay) {
  const Result<std::map<std::string, NamedJson>> files = patched_files(overlay);
  if (!files) return files.error();
  std::vector<Material> materials;
  for (const auto& [id, file] : *files) {
    Result<Material> material = read_material(file.json, file.name);
    if (!material) return material.error();
    materials.push_back(*std::move(material));
  }
  return materials;
}

Result<Material> find_material(const std::vector<Material>& materials,
                               std::string_view id, std::string_view where) {
  std::vector<std::string> known;
  for (const Material& material : materials) {
    if (material.id == id) return material;
    known.push_back(material.id);
  }
  return Error{std::string(where), "unknown material \"" + std::string(id) + "\"",
               did_you_mean(id, known)};
}

Polymer to_polymer(const Material& material) {
  const Celsius reference{material.diffusivity.reference_c.value};
  return {.density_kg_m3 = material.density_kg_m3.value,
          .heat_capacity_j_kg_k = material.heat_capacity_j_kg_k.value,
          .isotherm_slope = material.isotherm.slope.value,
          .isotherm_curvature = material.isotherm.curvature.value,
          .heat_of_mixing_j_mol = material.isotherm.heat_of_mixing_j_mol.value,
          .diffusivity_ref_m2_s = material.diffusivity.reference_m2_s.value,
          .diffusivity_ref_k = to_kelvin(reference).value,
          .activation_j_mol = material.diffusivity.activation_j_mol.value,
          .plasticisation = material.diffusivity.plasticisation.value};
}

DryBasis limit_of(const Material& material, Limit limit) {
  return DryBasis{material.limit_percent[limit].value / 100};
}

ByLimit<double> limits_of(const Material& material) {
  return {limit_of(material, Limit::kCosmetic).value,
          limit_of(material, Limit::kStrength).value};
}

}  // namespace drydepth
