#include "record/finding_reader.h"

#include <cmath>

#include "base/json_value.h"
#include "base/numbers.h"
#include "base/units.h"
#include "record/coupon.h"
#include "record/event_reader.h"

namespace drydepth {
namespace {

constexpr NumberRule kPieceMass{.unit = "grams",
                                .min = 0.05,
                                .max = 200,
                                .example = "3.42",
                                .slip_unit = "milligrams",
                                .slip_factor = 0.001};
constexpr NumberRule kPieceScaleSd{
    .unit = "grams", .min = 0, .max = 10, .example = "0.001", .above_min = true};
constexpr NumberRule kDried{
    .unit = "degrees Celsius", .min = 30, .max = 200, .example = "80"};
constexpr NumberRule kLength{
    .unit = "millimetres", .min = 0, .max = 2000, .example = "100", .above_min = true};
constexpr NumberRule kCaliperSd{
    .unit = "millimetres", .min = 0, .max = 1, .example = "0.02", .above_min = true};
constexpr NumberRule kPops{.unit = "pops", .min = 0, .max = 1000, .example = "5"};
constexpr NumberRule kPurged{
    .unit = "millimetres", .min = 1, .max = 100000, .example = "100"};

// As in the other events: nine digits give a person's decimals back.
Json rounded(double value) {
  return number_json(parse_number(format_fixed(value, 9)).value_or(value));
}

}  // namespace

Piece read_piece(JsonReader& in) {
  Piece out{.at = read_instant(in, "at")};
  const double before_g = in.number("before_g", kPieceMass);
  const double after_g = in.number("after_g", kPieceMass);
  if (after_g > before_g) {
    in.fail("after_g",
            "the piece weighs more after drying, " + format_shortest(after_g) +
                " g, than before, " + format_shortest(before_g) + " g",
            "swap or mend the two; where they differ by less than the scale tells, "
            "write the same twice");
  }
  out.before_kg = before_g / 1000;
  out.after_kg = after_g / 1000;
  const auto sd_g = in.optional_number("scale_sd_g", kPieceScaleSd);
  out.scale_sd_kg = sd_g ? *sd_g / 1000 : kPieceScaleSdKg;
  if (const auto dried_c = in.optional_number("dried_c", kDried)) {
    out.dried_k = to_kelvin(Celsius{*dried_c}).value;
  }
  return out;
}

Coupon read_coupon(JsonReader& in) {
  Coupon out{.at = read_instant(in, "at")};
  for (JsonReader& length : in.objects("lengths")) {
    out.lengths.push_back({length.number("design_mm", kLength) / 1000,
                           length.number("measured_mm", kLength) / 1000});
  }
  const auto sd_mm = in.optional_number("caliper_sd_mm", kCaliperSd);
  out.caliper_sd_m = sd_mm ? *sd_mm / 1000 : kCaliperSdM;
  if (in.failed()) return out;
  const auto fit = fit_coupon(out.lengths, out.caliper_sd_m);
  if (!fit) in.fail("lengths", fit.error().what, fit.error().hint);
  return out;
}

Purge read_purge(JsonReader& in) {
  Purge out{.at = read_instant(in, "at")};
  if (in.has("pops") && in.json().at("pops").is_number()) {
    const double count = in.number("pops", kPops);
    if (count != std::floor(count)) {
      in.fail("pops", "expected a whole number of pops, got " + format_shortest(count),
              "write e.g. 5, or true");
    }
    out.pop_count = static_cast<int>(count);
    out.pops = *out.pop_count > 0;
  } else if (in.has("pops")) {
    out.pops = in.flag_or("pops", false);
  }
  if (in.has("strings")) out.strings = in.flag_or("strings", false);
  if (!out.pops && !out.strings) {
    in.fail("", "a purge says neither of pops nor of strings",
            "write e.g. \"pops\": 5 or \"strings\": false");
  }
  out.length_m = in.optional_number("length_mm", kPurged).value_or(0) / 1000;
  return out;
}

Json finding_json(const Piece& piece) {
  Json out{{"type", "piece"},
           {"at", format_instant(piece.at)},
           {"before_g", rounded(piece.before_kg * 1000)},
           {"after_g", rounded(piece.after_kg * 1000)}};
  if (piece.scale_sd_kg > 0) out["scale_sd_g"] = rounded(piece.scale_sd_kg * 1000);
  if (piece.dried_k) {
    out["dried_c"] = rounded(to_celsius(Kelvin{*piece.dried_k}).value);
  }
  return out;
}

Json finding_json(const Coupon& coupon) {
  Json out{{"type", "coupon"},
           {"at", format_instant(coupon.at)},
           {"lengths", Json::array()}};
  for (const CouponLength& l : coupon.lengths) {
    out["lengths"].push_back({{"design_mm", rounded(l.design_m * 1000)},
                              {"measured_mm", rounded(l.measured_m * 1000)}});
  }
  if (coupon.caliper_sd_m > 0) {
    out["caliper_sd_mm"] = rounded(coupon.caliper_sd_m * 1000);
  }
  return out;
}

Json finding_json(const Purge& purge) {
  Json out{{"type", "purge"}, {"at", format_instant(purge.at)}};
  if (purge.pop_count) {
    out["pops"] = *purge.pop_count;
  } else if (purge.pops) {
    out["pops"] = *purge.pops;
  }
  if (purge.strings) out["strings"] = *purge.strings;
  if (purge.length_m > 0) out["length_mm"] = rounded(purge.length_m * 1000);
  return out;
}

}  // namespace drydepth
