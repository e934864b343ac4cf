#include "report/unknown_words.h"

#include "moisture/pack_rates.h"

namespace drydepth {

double central_value(std::size_t unknown, const Spool& spool) {
  const double Member::*field = kUnknowns[unknown].value;
  const PackProperties pack;
  const PackRecord& own = spool.record.pack;
  const Material& m = spool.material;
  if (field == &Member::gap_factor) return own.gap_factor.value_or(pack.gap_factor);
  if (field == &Member::side) return own.side_w_m2k.value_or(pack.side_w_m2k);
  if (field == &Member::diffusivity) return m.diffusivity.reference_m2_s.value;
  if (field == &Member::isotherm) return m.isotherm.slope.value;
  if (field == &Member::heat_of_mixing_j_mol) {
    return m.isotherm.heat_of_mixing_j_mol.value;
  }
  if (field == &Member::opening_content) return spool.priors.opening_content;
  if (field == &Member::tare_kg) return spool.priors.tare_kg;
  return kUnknowns[unknown].acts == Acts::kOffset ? 0.0 : 1.0;
}

double full_value(std::size_t unknown, const Spool& spool, const Member& member) {
  const double central = central_value(unknown, spool);
  const double own = member.*kUnknowns[unknown].value;
  return kUnknowns[unknown].acts == Acts::kOffset ? central + own : central * own;
}

}  // namespace drydepth
