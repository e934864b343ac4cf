#pragma once

#include <span>
#include <string>
#include <vector>

#include "spool/fit/fit.h"

namespace drydepth {

/// Outer content at each finding of a timeline, by member, kg/kg.
using OuterContents = std::vector<std::vector<double>>;

/// The findings that tell something beside the fitted ensemble. `off`: their residuals
/// at the peak, as evidence_residuals gives them.
std::vector<EvidenceFit> compare_evidence(const std::vector<OuterEvidence>& evidence,
                                          const OuterContents& fitted,
                                          const Polymer& polymer,
                                          std::span<const double> off);

/// Adds what an ensemble foresaw that knew nothing of the findings.
void note_foreseen(const std::vector<OuterEvidence>& evidence,
                   const OuterContents& foreseen, std::vector<EvidenceFit>& fits);

/// Pieces that are further off than `most` standard deviations, a sentence each.
void suspect_pieces(const std::vector<EvidenceFit>& fits, double most,
                    std::vector<std::string>& out);

}  // namespace drydepth
