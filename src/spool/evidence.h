#pragma once

// What findings on the outermost wraps tell the fit.
//
// A dried-out piece measures their mean content. What it still held when it was called
// dried out is computed (the equilibrium with the heated room air, as each member of
// the ensemble sees it) and allowed for.
//
// A sign (pops, strings, a large offset) is only seen more often on wet filament:
//   P(seen | X) = below + (above - below) Phi((ln X - ln X0)/w)
// with the shares, X0 and w from the rules. Over its largest value it is a likelihood L
// in (0, 1], which never falls under the ratio of the two shares, and enters the least
// squares as the residual sqrt(-2 ln L). A measured sign (an offset with its deviation)
// is seen with probability s, and then L mixes both outcomes by s.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "moisture/polymer.h"
#include "record/coupon.h"
#include "record/record.h"
#include "rules/evidence_rules.h"
#include "rules/materials.h"

namespace drydepth {

/// A piece as a datum.
struct PieceDatum {
  double loss = 0;  ///< (before - after)/after
  double sd = 0;    ///< of the loss: both weighings, handling, incomplete drying
  double dried_k = 0;
  bool dried_assumed = false;  ///< the record leaves open at what temperature
  StatedAir room{};            ///< that the drying air was heated from
  double left_share = 0;  ///< of its water still on the way out, beyond equilibrium
};

/// One sign: how likely what was noted is, by content.
struct Sign {
  std::string noted;       ///< "5 pops", "no strings", "offset 0.55 +- 0.03 mm"
  double seen = 1;         ///< probability that the sign was there
  double turning = 0;      ///< X0, kg/kg
  double spread_log = 1;   ///< w
  double share_above = 1;  ///< how often it is there well above X0
  double share_below = 0;  ///< and well below
  double weight = 1;       ///< 1 over the tests of its kind that count as one
};

/// A finding ready for the fit. Neither piece nor signs: it only used filament up.
struct OuterEvidence {
  FindingKind kind = FindingKind::kPiece;
  Instant at{};
  std::size_t event = 0;
  double mass_kg = 0;  ///< outer dry mass that it speaks of; 0: the outermost wrap
  double used_kg = 0;  ///< dry mass that it took off
  std::optional<PieceDatum> piece{};
  std::vector<Sign> signs{};
};

/// The findings of a record up to a moment, by time. `room`: what a piece was dried in
/// where it was heated from room air.
std::vector<OuterEvidence> outer_evidence(const SpoolRecord& record,
                                          const Material& material,
                                          const EvidenceRules& rules,
                                          const StatedAir& room, Instant at);

/// What a coupon's offset is a sign of, for a cosmetic limit, kg/kg.
Sign coupon_sign(const CouponFit& fit, const EvidenceRules& rules,
                 double cosmetic_limit);

/// The same findings as if nothing had been learned from them; what they took is gone
/// all the same.
std::vector<OuterEvidence> unlearned(std::vector<OuterEvidence> evidence);
/// True where one of them tells something.
bool tells(const std::vector<OuterEvidence>& evidence);

/// Standard deviation of a piece's loss: `scale_sd` of both weighings, over its dry
/// mass; the rest from the rules.
double piece_sd(const PieceDatum& piece, const Material& material,
                const PieceRule& rule, double scale_sd);
/// Content that a piece keeps however long it dries, kg/kg.
double piece_floor(const PieceDatum& piece, const Polymer& polymer);
/// The loss a piece of that content shows: (X (1 - left) - floor)/(1 + floor).
double foreseen_loss(const PieceDatum& piece, double content, const Polymer& polymer);
/// And back: the content that a loss stands for.
double measured_content(const PieceDatum& piece, const Polymer& polymer);

/// L of the header, 0 < L <= 1.
double likelihood(const Sign& sign, double content);
/// The most that a sign can move the odds of a content well above X0 against one well
/// below: above 1 towards wet.
double strongest_odds(const Sign& sign);

/// Residuals of all findings for one member, in order, as many for every member:
/// outer_content holds a content for each finding, of the outer mass it speaks of.
std::vector<double> evidence_residuals(const std::vector<OuterEvidence>& evidence,
                                       const std::vector<double>& outer_content,
                                       const Polymer& polymer);

}  // namespace drydepth
