#pragma once

#include <vector>

#include "base/json_text.h"
#include "spool/fit/fit.h"

namespace drydepth {

/// Three numbers of a file that keeps a fit, and back. Throws what the JSON package
/// throws.
Json percentiles_json(const Percentiles& p);
Percentiles read_percentiles(const Json& json);

/// How findings fared in a fit, for the file that keeps it, and back: the findings
/// themselves come from the record. Throws what the JSON package throws.
Json evidence_fits_json(const std::vector<EvidenceFit>& fits);
std::vector<EvidenceFit> read_evidence_fits(const Json& json,
                                            const std::vector<OuterEvidence>& found);

}  // namespace drydepth
