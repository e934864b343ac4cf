#include "app/shelf/kept_evidence.h"

#include "base/json_value.h"

namespace drydepth {
Json percentiles_json(const Percentiles& p) { return {p.p10, p.p50, p.p90}; }

Percentiles read_percentiles(const Json& json) {
  return {json.at(0).get<double>(), json.at(1).get<double>(), json.at(2).get<double>()};
}

Json evidence_fits_json(const std::vector<EvidenceFit>& fits) {
  Json out = Json::array();
  for (const EvidenceFit& f : fits) {
    out.push_back({{"event", f.found.event},
                   {"measured", f.measured},
                   {"foreseen", percentiles_json(f.foreseen)},
                   {"fitted", percentiles_json(f.fitted)},
                   {"off", f.off}});
  }
  return out;
}

std::vector<EvidenceFit> read_evidence_fits(const Json& json,
                                            const std::vector<OuterEvidence>& found) {
  std::vector<EvidenceFit> out;
  for (const Json& row : json) {
    EvidenceFit f{.measured = row.at("measured").get<double>(),
                  .foreseen = read_percentiles(row.at("foreseen")),
                  .fitted = read_percentiles(row.at("fitted")),
                  .off = row.at("off").get<double>()};
    for (const OuterEvidence& e : found) {
      if (e.event == row.at("event").get<std::size_t>()) f.found = e;
    }
    out.push_back(std::move(f));
  }
  return out;
}

}  // namespace drydepth
