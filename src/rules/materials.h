#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/json_reader.h"
#include "base/result.h"
#include "base/units.h"
#include "moisture/polymer.h"
#include "rules/limit.h"
#include "rules/rule_text.h"
#include "rules/sourced.h"

namespace drydepth {

/// What a limit and a drying ceiling may be, in a rule file and in a lot's own record.
inline constexpr NumberRule kLimitRange{.unit = "percent of the dry mass",
                                        .min = 0,
                                        .max = 20,
                                        .example = "0.2",
                                        .above_min = true};
inline constexpr NumberRule kDryingCeilingRange{
    .unit = "degrees Celsius", .min = 30, .max = 300, .example = "80"};

struct IsothermRule {
  Sourced slope;                 ///< k, kg water per kg dry filament and unit activity
  Sourced curvature;             ///< q
  Sourced heat_of_mixing_j_mol;  ///< H
};

struct DiffusivityRule {
  Sourced reference_m2_s;
  Sourced reference_c;
  Sourced activation_j_mol;
  Sourced plasticisation;
};

/// A material as its rule file states it, units as in the keys. A fibre-filled grade is
/// stated per dry filament, fibre included, as a scale and a data sheet see it.
struct Material {
  std::string id;    ///< as records write it: "pa6"
  std::string name;  ///< for people: "polyamide 6"
  Sourced density_kg_m3;
  Sourced heat_capacity_j_kg_k;
  IsothermRule isotherm;
  DiffusivityRule diffusivity;
  ByLimit<Sourced> limit_percent;
  Sourced drying_max_c;
  Sourced nozzle_min_c;
  Sourced nozzle_max_c;
  std::optional<Sourced> fibre_mass_fraction;
  bool flexible = false;  ///< too soft to push: retraction is not for adjusting
  bool warps = false;     ///< cooled in mid-print it warps or cracks: bed and chamber
                          ///< stay hot at a pause (common practice, no source)
  std::string file;       ///< where it was read
  std::string text;       ///< the JSON that all of this was read from
};

/// All materials, sorted by id: the embedded ones, each patched (RFC 7386) by the
/// overlay file that states the same id, and those only the overlay has. Error for the
/// first thing wrong in a file.
Result<std::vector<Material>> load_materials(const std::vector<RuleText>& overlay = {});

/// The material with that id. Error at `where` naming the nearest.
Result<Material> find_material(const std::vector<Material>& materials,
                               std::string_view id, std::string_view where);

/// The central values, in SI.
Polymer to_polymer(const Material& material);

DryBasis limit_of(const Material& material, Limit limit);
/// Both, kg/kg.
ByLimit<double> limits_of(const Material& material);

}  // namespace drydepth
