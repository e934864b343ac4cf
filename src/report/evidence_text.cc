#include "report/evidence_text.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/json_value.h"
#include "base/numbers.h"
#include "report/layout.h"
#include "report/words.h"

namespace drydepth {
namespace {

std::string fixed_percent(double content) { return format_fixed(content * 100, 2); }

std::string range_text(const Percentiles& p) {
  return fixed_percent(p.p10) + "-" + fixed_percent(p.p90) + " %";
}

std::string short_mm(double m) { return format_shortest(std::round(m * 1e9) / 1e6); }

// "odds 2.4 to 1 towards wetter", from well above the turning content to well below.
std::string odds_text(double odds) {
  const double size = std::max(odds, 1 / odds);
  if (size < 1.05) return "no odds either way";
  return "odds " + format_fixed(size, 1) + " to 1 at most towards " +
         (odds > 1 ? "wetter" : "drier");
}

std::string piece_sentence(const SpoolReport& spool, const EvidenceFit& f) {
  const PieceDatum& piece = *f.found.piece;
  const double before_kg = f.found.mass_kg * (1 + piece.loss);
  const std::string degrees = format_fixed(piece.dried_k - kZeroCelsiusK, 0) + " C" +
                              (piece.dried_assumed ? " (assumed)" : "");
  return "piece of " + grams_text(before_kg) + ": " + fixed_percent(f.measured) +
         " +- " + fixed_percent(piece.sd) + " % in the outermost " +
         metres_text(f.found.mass_kg / kg_per_mm(spool)) + " (it lost " +
         fixed_percent(piece.loss) + " %; the rest does not leave at " + degrees +
         " in that room's air); without such findings the ensemble foresaw " +
         range_text(f.foreseen) + ", now " + range_text(f.fitted);
}

std::string sign_sentence(const EvidenceFit& f) {
  std::string noted;
  for (const Sign& sign : f.found.signs) {
    noted += (noted.empty() ? "" : ", ") + sign.noted + " (" +
             odds_text(strongest_odds(sign)) + ")";
  }
  return std::string(kind_name(f.found.kind)) + ": " + noted +
         "; the outermost wraps were foreseen at " + range_text(f.foreseen) +
         ", now at " + range_text(f.fitted);
}

}  // namespace

std::string finding_text(const Piece& piece) {
  const auto g = [](double kg) {
    return format_shortest(std::round(kg * 1e9) / 1e6) + " g";
  };
  std::string out = "piece " + g(piece.before_kg) + ", dried out " + g(piece.after_kg);
  if (piece.scale_sd_kg > 0) out += " +- " + g(piece.scale_sd_kg);
  if (piece.dried_k) {
    out += " at " + format_fixed(*piece.dried_k - kZeroCelsiusK, 0) + " C";
  }
  return out + ", cut";
}

std::string finding_text(const Coupon& coupon) {
  std::string out = "coupon";
  for (const CouponLength& l : coupon.lengths) {
    out += " " + short_mm(l.design_m) + "=" + short_mm(l.measured_m);
  }
  return out + " mm";
}

std::string finding_text(const Purge& purge) {
  std::string out;
  const auto add = [&](const std::string& text) {
    out += (out.empty() ? "purge: " : ", ") + text;
  };
  if (purge.pop_count) {
    add(std::to_string(*purge.pop_count) + (*purge.pop_count == 1 ? " pop" : " pops"));
  } else if (purge.pops) {
    add(*purge.pops ? "pops" : "no pops");
  }
  if (purge.strings) add(*purge.strings ? "strings" : "no strings");
  if (purge.length_m > 0) out += ", of " + short_mm(purge.length_m) + " mm";
  return out;
}

std::vector<std::string> evidence_sentences(const SpoolReport& spool) {
  std::vector<std::string> out;
  for (const EvidenceFit& f : spool.fit.evidence) {
    out.push_back(f.found.piece ? piece_sentence(spool, f) : sign_sentence(f));
  }
  return out;
}

Json evidence_json(const SpoolReport& spool) {
  const auto percent = [](double content) { return std::round(content * 1e6) / 1e4; };
  const auto range = [&](const Percentiles& p) {
    return Json{
        {"p10", percent(p.p10)}, {"p50", percent(p.p50)}, {"p90", percent(p.p90)}};
  };
  Json out = Json::array();
  for (const EvidenceFit& f : spool.fit.evidence) {
    Json row{{"type", std::string(kind_name(f.found.kind))},
             {"at", format_instant(f.found.at)},
             {"foreseen_percent", range(f.foreseen)},
             {"fitted_percent", range(f.fitted)}};
    if (f.found.piece) {
      row["m"] = std::round(f.found.mass_kg / kg_per_mm(spool)) / 1000;
      row["measured_percent"] = percent(f.measured);
      row["sd_percent"] = percent(f.found.piece->sd);
      row["off_sd"] = std::round(f.off * 100) / 100;
    }
    for (const Sign& s : f.found.signs) {
      row["signs"].push_back({{"noted", s.noted},
                              {"turning_percent", percent(s.turning)},
                              {"odds", std::round(strongest_odds(s) * 1000) / 1000}});
    }
    out.push_back(row);
  }
  return out;
}

namespace {

double coupon_odds(const CouponFit& fit, const EvidenceRules& rules) {
  return strongest_odds(coupon_sign(fit, rules, 1));
}

}  // namespace

std::string coupon_text(const CouponFit& fit, double caliper_sd_m,
                        const EvidenceRules& rules) {
  const double large = rules.coupon_offset_mm.value;
  std::vector<std::string> lines{"measured = scale x drawn + offset, from " +
                                 std::to_string(fit.lengths) + " lengths, caliper +- " +
                                 short_mm(caliper_sd_m) + " mm"};
  if (fit.scatter > 1) {
    lines.push_back("the lengths scatter " + format_fixed(fit.scatter, 1) +
                    " times as much as that; both deviations are larger by it");
  }
  lines.push_back("scale " + format_fixed(fit.scale, 5) + " +- " +
                  format_fixed(fit.scale_sd, 5) + ": shrink " +
                  format_fixed((1 - fit.scale) * 100, 2) + " +- " +
                  format_fixed(fit.scale_sd * 100, 2) + " %");
  lines.push_back("offset " + format_fixed(fit.offset_m * 1000, 3) + " +- " +
                  format_fixed(fit.offset_sd_m * 1000, 3) + " mm");
  lines.push_back("to print a length L to size, draw (L - " +
                  format_fixed(fit.offset_m * 1000, 3) + ")/" +
                  format_fixed(fit.scale, 5));
  const double odds = coupon_odds(fit, rules);
  std::vector<std::string> sign;
  if (odds > 1.05) {
    sign.push_back("an offset above " + format_shortest(large) +
                   " mm is a sign of wet filament: " + odds_text(odds));
  } else {
    sign.push_back("the offset is no sign of wet filament, which tells little: " +
                   odds_text(odds));
  }
  sign.push_back("strength and threshold: " + rules.coupon.share_above.status +
                 " (rules show evidence); another flow, nozzle, temperature or "
                 "pressure advance moves the offset as well, so compare only coupons "
                 "printed alike");
  std::string out;
  section(out, "Coupon", lines);
  section(out, "Sign", sign);
  return out;
}

Json coupon_json(const CouponFit& fit, double caliper_sd_m,
                 const EvidenceRules& rules) {
  // Nine decimals: enough for any caliper, and without the rounding's tail.
  const auto shown = [](double v) {
    return number_json(parse_number(format_fixed(v, 9)).value_or(v));
  };
  return {{"format", "drydepth-coupon/1"},
          {"lengths", fit.lengths},
          {"caliper_sd_mm", shown(caliper_sd_m * 1000)},
          {"scale", shown(fit.scale)},
          {"scale_sd", shown(fit.scale_sd)},
          {"offset_mm", shown(fit.offset_m * 1000)},
          {"offset_sd_mm", shown(fit.offset_sd_m * 1000)},
          {"scatter", shown(fit.scatter)},
          {"odds_wetter", shown(coupon_odds(fit, rules))}};
}

}  // namespace drydepth
