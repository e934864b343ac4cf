#include "spool/fit/evidence_fit.h"

#include <cmath>

#include "base/numbers.h"

namespace drydepth {
namespace {

bool tells_something(const OuterEvidence& e) { return e.piece || !e.signs.empty(); }

}  // namespace

std::vector<EvidenceFit> compare_evidence(const std::vector<OuterEvidence>& evidence,
                                          const OuterContents& fitted,
                                          const Polymer& polymer,
                                          std::span<const double> off) {
  std::vector<EvidenceFit> out;
  std::size_t next = 0;
  for (std::size_t k = 0; k < evidence.size(); ++k) {
    const OuterEvidence& e = evidence[k];
    if (!tells_something(e)) continue;
    EvidenceFit fit{.found = e, .fitted = percentiles(fitted[k])};
    if (e.piece) {
      fit.measured = measured_content(*e.piece, polymer);
      fit.off = -off[next];
    }
    next += (e.piece ? 1 : 0) + e.signs.size();
    out.push_back(std::move(fit));
  }
  return out;
}

void note_foreseen(const std::vector<OuterEvidence>& evidence,
                   const OuterContents& foreseen, std::vector<EvidenceFit>& fits) {
  std::size_t next = 0;
  for (std::size_t k = 0; k < evidence.size(); ++k) {
    if (tells_something(evidence[k])) fits[next++].foreseen = percentiles(foreseen[k]);
  }
}

void suspect_pieces(const std::vector<EvidenceFit>& fits, double most,
                    std::vector<std::string>& out) {
  for (const EvidenceFit& f : fits) {
    if (!f.found.piece || std::abs(f.off) <= most) continue;
    out.push_back(
        "the piece cut at " + format_instant(f.found.at) + " (" +
        format_fixed(f.measured * 100, 2) + " %) is " +
        format_fixed(std::abs(f.off), 0) + " standard deviations " +
        (f.off > 0 ? "above" : "below") + " what the rest of the record foresees: " +
        (f.off > 0 ? "weighed late in damp air, cut from deeper inside, or did "
                     "something fall off or boil out of it?"
                   : "weighed late in dry air, not dried out, or damp again before "
                     "the second weighing?"));
  }
}

}  // namespace drydepth
