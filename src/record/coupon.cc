#include "record/coupon.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "base/numbers.h"

namespace drydepth {
namespace {

constexpr double kInch = 25.4;  // mm, exactly
// Shrink stays under 10 % and an offset under a line's width: what is further off was
// not measured on that length (design values).
constexpr double kFarShare = 0.1;
constexpr double kFarM = 1.5e-3;
// Lengths closer than this tell nothing of the scale: design value.
constexpr double kApartM = 1e-3;
// Nobody prints a coupon shorter than this: design value.
constexpr double kShortM = 5e-3;

// Ten digits give a person's decimals back.
std::string mm(double m) {
  const auto shortest = parse_number(format_fixed(m * 1000, 6));
  return format_shortest(shortest.value_or(m * 1000));
}

bool near_enough(double design_m, double measured_m) {
  return std::abs(measured_m - design_m) <= kFarShare * design_m + kFarM;
}

std::optional<Error> misread(const CouponLength& l) {
  if (l.design_m < kShortM) {
    return Error{"", "a drawn length of " + mm(l.design_m) + " mm is too short to tell",
                 "lengths are in mm; if that was inches, write " +
                     mm(l.design_m * kInch) + "=" + mm(l.measured_m * kInch)};
  }
  if (near_enough(l.design_m, l.measured_m)) return std::nullopt;
  const std::string what = "measured " + mm(l.measured_m) +
                           " mm is not near the drawn " + mm(l.design_m) + " mm";
  if (near_enough(l.design_m, l.measured_m * kInch)) {
    return Error{"", what,
                 "that looks like inches: write " + mm(l.design_m) + "=" +
                     format_fixed(l.measured_m * kInch * 1000, 2)};
  }
  if (near_enough(l.design_m * kInch, l.measured_m)) {
    return Error{"", what,
                 "the drawn length looks like inches: write " +
                     format_fixed(l.design_m * kInch * 1000, 2) + "=" +
                     mm(l.measured_m)};
  }
  return Error{"", what, "check which line was measured, and its unit"};
}

std::optional<double> length_mm(std::string_view text) {
  const auto number = parse_leading_number(text);
  const bool ok = number && (number->rest.empty() || number->rest == "mm");
  return ok && number->value > 0 ? std::optional(number->value) : std::nullopt;
}

}  // namespace

Result<CouponFit> fit_coupon(std::span<const CouponLength> lengths,
                             double caliper_sd_m) {
  const Error too_few{"", "one length cannot tell scale from offset",
                      "print and measure two that differ, e.g. 20 and 100 mm"};
  if (lengths.size() < 2) return too_few;
  double mean_x = 0, mean_y = 0;
  double least = lengths.front().design_m, most = least;
  for (const CouponLength& l : lengths) {
    if (const auto error = misread(l)) return *error;
    mean_x += l.design_m / static_cast<double>(lengths.size());
    mean_y += l.measured_m / static_cast<double>(lengths.size());
    least = std::min(least, l.design_m);
    most = std::max(most, l.design_m);
  }
  if (most - least < kApartM) {
    return Error{"",
                 "all lengths are drawn " + mm(least) +
                     " mm long, which cannot tell scale from offset",
                 "measure two that differ, e.g. 20 and 100 mm"};
  }
  double sxx = 0, sxy = 0;
  for (const CouponLength& l : lengths) {
    sxx += (l.design_m - mean_x) * (l.design_m - mean_x);
    sxy += (l.design_m - mean_x) * (l.measured_m - mean_y);
  }
  CouponFit out{.scale = sxy / sxx, .lengths = lengths.size()};
  out.offset_m = mean_y - out.scale * mean_x;
  double chi2 = 0;
  for (const CouponLength& l : lengths) {
    chi2 += std::pow(
        (l.measured_m - out.scale * l.design_m - out.offset_m) / caliper_sd_m, 2);
  }
  const double n = static_cast<double>(lengths.size());
  if (lengths.size() > 2) out.scatter = std::sqrt(chi2 / (n - 2));
  const double sd_m = caliper_sd_m * std::max(1.0, out.scatter);
  out.scale_sd = sd_m / std::sqrt(sxx);
  out.offset_sd_m = sd_m * std::sqrt(1 / n + mean_x * mean_x / sxx);
  return out;
}

Result<CouponLength> parse_coupon_length(std::string_view text) {
  const std::size_t equals = text.find('=');
  if (equals != text.npos) {
    const auto design = length_mm(text.substr(0, equals));
    const auto measured = length_mm(text.substr(equals + 1));
    if (design && measured) return CouponLength{*design / 1000, *measured / 1000};
  }
  return Error{
      "", "expected a drawn and a measured length, got \"" + std::string(text) + "\"",
      "write millimetres, e.g. 100=99.47"};
}

Result<double> parse_caliper_sd(std::string_view text) {
  const auto sd = length_mm(text);
  if (sd && *sd <= 1) return *sd / 1000;
  return Error{
      "", "expected what the caliper repeats to, got \"" + std::string(text) + "\"",
      "write millimetres, e.g. 0.02"};
}

}  // namespace drydepth
