#include "spool/evidence.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "base/numbers.h"
#include "moisture/air.h"
#include "spool/finding_checks.h"

namespace drydepth {
namespace {

double phi(double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); }

PieceDatum piece_datum(const Piece& piece, const Material& material,
                       const PieceRule& rule, const StatedAir& room) {
  PieceDatum out;
  out.loss = (piece.before_kg - piece.after_kg) / piece.after_kg;
  out.dried_k = piece.dried_k.value_or(kZeroCelsiusK + material.drying_max_c.value);
  out.room = room;
  out.left_share = rule.left_share.value;
  out.dried_assumed = !piece.dried_k;
  const double ratio = piece.before_kg / piece.after_kg;
  out.sd = piece_sd(out, material, rule,
                    piece.scale_sd_kg / piece.after_kg * std::hypot(1.0, ratio));
  return out;
}

Sign make_sign(const SignRule& rule, double limit, std::string noted, double seen) {
  return {.noted = std::move(noted),
          .seen = seen,
          .turning = rule.limit_factor.value * limit,
          .spread_log = rule.limit_factor.log_sd.value_or(0.5),
          .share_above = rule.share_above.value,
          .share_below = rule.share_below.value};
}

std::vector<Sign> purge_signs(const Purge& purge, double limit,
                              const EvidenceRules& rules) {
  std::vector<Sign> out;
  if (purge.pops) {
    const bool heard = purge.pop_count
                           ? *purge.pop_count >= rules.pops_least_count.value
                           : *purge.pops;
    const int count = purge.pop_count.value_or(0);
    const std::string noted =
        count > 0 ? std::to_string(count) + (count == 1 ? " pop" : " pops")
                  : (heard ? "pops" : "no pops");
    out.push_back(make_sign(rules.pops, limit, noted, heard ? 1 : 0));
  }
  if (purge.strings) {
    out.push_back(make_sign(rules.strings, limit,
                            *purge.strings ? "strings" : "no strings",
                            *purge.strings ? 1 : 0));
  }
  return out;
}

// Tests of one kind close in time share what else may cause a sign, so that all of them
// together count as one.
void share_weights(std::vector<OuterEvidence>& all, double together_h) {
  for (OuterEvidence& e : all) {
    const auto close =
        std::count_if(all.begin(), all.end(), [&](const OuterEvidence& other) {
          return other.kind == e.kind && std::abs(seconds_between(other.at, e.at)) <=
                                             together_h * kSecondsPerHour;
        });
    for (Sign& sign : e.signs) sign.weight = 1.0 / static_cast<double>(close);
  }
}

// P(noted | X) before it is taken over its largest value.
double share_of(const Sign& sign, double above) {
  const double there = sign.share_below + (sign.share_above - sign.share_below) * above;
  return sign.seen * there + (1 - sign.seen) * (1 - there);
}

}  // namespace

Sign coupon_sign(const CouponFit& fit, const EvidenceRules& rules,
                 double cosmetic_limit) {
  const double offset_mm = fit.offset_m * 1000, sd_mm = fit.offset_sd_m * 1000;
  const Sourced& large = rules.coupon_offset_mm;
  const double seen =
      phi((offset_mm - large.value) / std::hypot(sd_mm, large.sd.value_or(0.1)));
  return make_sign(
      rules.coupon, cosmetic_limit,
      "offset " + format_fixed(offset_mm, 2) + " +- " + format_fixed(sd_mm, 2) + " mm",
      seen);
}

std::vector<OuterEvidence> outer_evidence(const SpoolRecord& record,
                                          const Material& material,
                                          const EvidenceRules& rules,
                                          const StatedAir& room, Instant at) {
  std::vector<OuterEvidence> out;
  const double limit = limit_of(material, Limit::kCosmetic).value;
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const Event& event = record.events[i];
    if (start_of(event) > at) continue;
    OuterEvidence e{.at = start_of(event),
                    .event = i,
                    .used_kg = used_by_kg(event, record.filament_diameter_m,
                                          material.density_kg_m3.value)};
    if (const auto* piece = std::get_if<Piece>(&event)) {
      e.kind = FindingKind::kPiece;
      e.mass_kg = piece->after_kg;
      e.piece = piece_datum(*piece, material, rules.piece, room);
    } else if (const auto* coupon = std::get_if<Coupon>(&event)) {
      e.kind = FindingKind::kCoupon;
      const auto fit = fit_coupon(coupon->lengths, coupon->caliper_sd_m);
      assert(fit.has_value());  // the record's reader has fitted it
      e.signs = {coupon_sign(*fit, rules, limit)};
    } else if (const auto* purge = std::get_if<Purge>(&event)) {
      e.kind = FindingKind::kPurge;
      e.signs = purge_signs(*purge, limit, rules);
    } else {
      continue;
    }
    out.push_back(std::move(e));
  }
  share_weights(out, rules.together_h.value);
  return out;
}

std::vector<OuterEvidence> unlearned(std::vector<OuterEvidence> evidence) {
  for (OuterEvidence& e : evidence) {
    e.piece.reset();
    e.signs.clear();
  }
  return evidence;
}

bool tells(const std::vector<OuterEvidence>& evidence) {
  return std::any_of(evidence.begin(), evidence.end(), [](const OuterEvidence& e) {
    return e.piece.has_value() || !e.signs.empty();
  });
}

double piece_sd(const PieceDatum& piece, const Material& material,
                const PieceRule& rule, double scale_sd) {
  const Polymer polymer = to_polymer(material);
  const double floor = piece_floor(piece, polymer) * rule.floor_log_sd.value;
  const double left = rule.left_share.sd.value_or(0.0) * piece.loss;
  const double handling = rule.handling_share.value *
                          equilibrium_content(polymer, 0.5, kIsothermReferenceK);
  return std::sqrt(scale_sd * scale_sd + floor * floor + left * left +
                   handling * handling);
}

double piece_floor(const PieceDatum& piece, const Polymer& polymer) {
  const Air air = heated_air(to_celsius(Kelvin{piece.dried_k}),
                             to_celsius(Kelvin{piece.room.temperature_k}),
                             Activity{piece.room.activity});
  return equilibrium_content(polymer, std::min(1.0, humidity(air).value),
                             air.temperature_k);
}

double foreseen_loss(const PieceDatum& piece, double content, const Polymer& polymer) {
  const double floor = piece_floor(piece, polymer);
  return (content * (1 - piece.left_share) - floor) / (1 + floor);
}

double measured_content(const PieceDatum& piece, const Polymer& polymer) {
  const double floor = piece_floor(piece, polymer);
  return (piece.loss * (1 + floor) + floor) / (1 - piece.left_share);
}

double likelihood(const Sign& sign, double content) {
  constexpr double kNothing = 1e-9;  // so that ln X is finite
  const double above =
      phi(std::log(std::max(content, kNothing) / sign.turning) / sign.spread_log);
  const double most = std::max(share_of(sign, 0), share_of(sign, 1));
  return std::pow(share_of(sign, above) / most, sign.weight);
}

double strongest_odds(const Sign& sign) {
  return std::pow(share_of(sign, 1) / share_of(sign, 0), sign.weight);
}

std::vector<double> evidence_residuals(const std::vector<OuterEvidence>& evidence,
                                       const std::vector<double>& outer_content,
                                       const Polymer& polymer) {
  std::vector<double> out;
  for (std::size_t k = 0; k < evidence.size(); ++k) {
    const OuterEvidence& e = evidence[k];
    const double content = outer_content[k];
    if (e.piece) {
      out.push_back((foreseen_loss(*e.piece, content, polymer) - e.piece->loss) /
                    e.piece->sd);
    }
    for (const Sign& sign : e.signs) {
      out.push_back(
          std::sqrt(std::max(0.0, -2.0 * std::log(likelihood(sign, content)))));
    }
  }
  return out;
}

}  // namespace drydepth
