#include "rules/data_sheet.h"

#include <cmath>

#include "base/numbers.h"

namespace drydepth {

std::vector<SheetLine> sheet_lines(const Material& m) {
  std::vector<SheetLine> out = {
      {"density", "kg/m3", m.density_kg_m3},
      {"heat capacity", "J/(kg K)", m.heat_capacity_j_kg_k},
      {"isotherm slope", "kg/kg", m.isotherm.slope},
      {"isotherm curvature", "", m.isotherm.curvature},
      {"heat of mixing", "J/mol", m.isotherm.heat_of_mixing_j_mol},
      {"diffusivity", "m2/s", m.diffusivity.reference_m2_s},
      {"  at", "C", m.diffusivity.reference_c},
      {"activation energy", "J/mol", m.diffusivity.activation_j_mol},
      {"plasticisation", "", m.diffusivity.plasticisation},
      {"cosmetic limit", "%", m.limit_percent.cosmetic},
      {"strength limit", "%", m.limit_percent.strength},
      {"drying at most", "C", m.drying_max_c},
      {"nozzle from", "C", m.nozzle_min_c},
      {"nozzle to", "C", m.nozzle_max_c}};
  if (m.fibre_mass_fraction) {
    out.insert(out.begin(), {"fibre, by mass", "", *m.fibre_mass_fraction});
  }
  return out;
}

std::vector<SheetLine> sheet_lines(const Body& body) {
  std::vector<SheetLine> out = {{"heat at most", "C", body.heat_ceiling_c}};
  if (body.water) {
    out.push_back({"isotherm slope", "kg/kg", body.water->slope});
    out.push_back({"isotherm curvature", "", body.water->curvature});
    out.push_back({"time constant", "h", body.water->time_constant_h});
  }
  return out;
}

std::vector<SheetLine> sheet_lines(const EvidenceRules& rules) {
  std::vector<SheetLine> out = {
      {"piece: floor known to", "", rules.piece.floor_log_sd},
      {"piece: left", "of its water", rules.piece.left_share},
      {"piece: handling", "of room", rules.piece.handling_share},
      {"coupon: large from", "mm", rules.coupon_offset_mm}};
  const auto sign = [&](const std::string& name, const SignRule& rule) {
    out.push_back({name + ": turns at", "limits", rule.limit_factor});
    out.push_back({name + ": above", "", rule.share_above});
    out.push_back({name + ": below", "", rule.share_below});
  };
  sign("coupon", rules.coupon);
  out.push_back({"pops: heard from", "pops", rules.pops_least_count});
  sign("pops", rules.pops);
  sign("strings", rules.strings);
  out.push_back({"one test within", "h", rules.together_h});
  return out;
}

std::string spread_text(const Sourced& number) {
  if (number.sd) return "+- " + format_shortest(*number.sd);
  if (number.log_sd) return "x/ " + format_fixed(std::exp(*number.log_sd), 2);
  return "-";
}

}  // namespace drydepth
