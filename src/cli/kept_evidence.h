#pragma once

#include <vector>

#include "base/json_text.h"
#include "spool/fit.h"

namespace drydepth {

/// Every number of the findings that a fit hangs on, those of the rules included.
std::vector<double> evidence_numbers(const std::vector<OuterEvidence>& evidence);

/// How findings fared in a fit, for the file that keeps it, and back: the findings
/// themselves come from the record. Throws what the JSON package throws.
Json evidence_fits_json(const std::vector<EvidenceFit>& fits);
std::vector<EvidenceFit> read_evidence_fits(const Json& json,
                                            const std::vector<OuterEvidence>& found);

}  // namespace drydepth
