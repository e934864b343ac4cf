#pragma once

#include <string>
#include <vector>

#include "base/json_text.h"
#include "record/coupon.h"
#include "report/report.h"

namespace drydepth {

/// A finding of a record as a line of its history, without its time.
std::string finding_text(const Piece& piece);
std::string finding_text(const Coupon& coupon);
std::string finding_text(const Purge& purge);

/// What each finding on the outer wraps did to the estimate, a sentence each.
std::vector<std::string> evidence_sentences(const SpoolReport& spool);
Json evidence_json(const SpoolReport& spool);

/// What a coupon's two lengths say: scale, offset, and how strong a sign that is. Also
/// as data.
std::string coupon_text(const CouponFit& fit, double caliper_sd_m,
                        const EvidenceRules& rules);
Json coupon_json(const CouponFit& fit, double caliper_sd_m, const EvidenceRules& rules);

}  // namespace drydepth
