#include "report/piece_text.h"

#include "base/numbers.h"
#include "report/words.h"

namespace drydepth {
namespace {

// Longer than this nobody cuts off: about one wound layer (design value).
constexpr double kLongestMm = 15e3;

// "10 mg", "0.1 g".
std::string scale_text(double kg) {
  return kg < 0.5e-4 ? format_shortest(kg * 1e6) + " mg"
                     : format_shortest(kg * 1e3) + " g";
}

std::string length_and_mass(double kg, const SpoolReport& spool) {
  return metres_text(kg / kg_per_mm(spool)) + " (" + grams_text(kg) + ")";
}

std::string how_much(const DryingReport& d, const SpoolReport& spool) {
  const double longest_kg = kLongestMm * kg_per_mm(spool);
  const std::string whole = length_and_mass(d.piece_kg, spool) + " for a scale of " +
                            scale_text(d.scale_sd_kg);
  if (d.piece_kg <= longest_kg) return "cut " + whole;
  std::string out = "it would take " + whole + ", so find a finer one:";
  int offered = 0;
  for (const double finer_kg : {1e-4, 1e-5, 1e-6}) {
    const double kg = d.piece_kg * finer_kg / d.scale_sd_kg;
    if (finer_kg >= d.scale_sd_kg || kg > longest_kg) continue;
    out += std::string(offered++ > 0 ? "," : "") + " " + length_and_mass(kg, spool) +
           " for " + scale_text(finer_kg);
  }
  return out;
}

std::string how_to_dry(const SpoolReport& spool) {
  const std::string most = format_fixed(spool.of.material.drying_max_c.value, 0) + " C";
  return "weigh the piece at once or seal it; coil it loosely and dry it by itself at "
         "no more than " +
         most + " (what " + spool.of.material.id +
         " is rated for; the spool's body no longer counts; an oven for food "
         "overshoots and is none for plastics) until two weighings 4 h apart agree, "
         "cooled in a closed jar before each; then: drydepth log " +
         spool.of.record.id + " piece BEFORE AFTER scale SD dried TEMP at TIME-OF-CUT";
}

}  // namespace

std::vector<std::string> piece_advice(const DryingReport& drying,
                                      const SpoolReport& spool) {
  const double weighing = drying.next.weighing.narrows;
  if (drying.next.piece_narrows <= weighing + 0.02) return {};
  return {
      "a piece cut from the outermost wraps now, weighed before and after drying "
      "it out by itself, narrows the dry depth by about " +
          share_text(drying.next.piece_narrows) + ", another weighing by " +
          share_text(weighing) + ": " + how_much(drying, spool),
      how_to_dry(spool)};
}

}  // namespace drydepth
