#pragma once

// How much a test of the outer wraps tells of their moisture.
//
// A cut piece measures it. A coupon's offset, pops and strings are only seen more often
// on wet filament than on other: how often, above and below a content, is all that is
// known of them, and the two shares bound what one of them can ever move (their ratio).

#include <vector>

#include "base/result.h"
#include "rules/rule_text.h"
#include "rules/sourced.h"

namespace drydepth {

/// Something that is seen more often on wet filament. The spread of a share is shown
/// and not used: for one test the mean share is the likelihood.
struct SignRule {
  Sourced limit_factor;  ///< turning content over the cosmetic limit; log_sd: width
  Sourced share_above;   ///< how often it is seen well above that content
  Sourced share_below;   ///< and well below
};

/// What a dried-out piece may still hold, and what handling does to it.
struct PieceRule {
  Sourced floor_log_sd;    ///< spread of the equilibrium with the drying air
  Sourced left_share;      ///< of its water, beyond that
  Sourced handling_share;  ///< sd, of the equilibrium at 50 % RH
};

struct EvidenceRules {
  PieceRule piece;
  Sourced coupon_offset_mm;  ///< large from here on; sd: how sharply
  SignRule coupon;
  Sourced pops_least_count;
  SignRule pops;
  SignRule strings;
  std::string text;    ///< the JSON that all of this was read from
  Sourced together_h;  ///< tests of one kind within it count as one
};

/// evidence.json, patched (RFC 7386) by the overlay's. Error for the first thing wrong.
Result<EvidenceRules> load_evidence_rules(const std::vector<RuleText>& overlay = {});

}  // namespace drydepth
