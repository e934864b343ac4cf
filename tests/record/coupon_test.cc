#include "record/coupon.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

namespace drydepth {
namespace {

// "20=20.33 100=99.47"
Result<CouponFit> fit_words(const std::string& words, double sd_mm) {
  std::vector<CouponLength> lengths;
  std::istringstream in(words);
  for (std::string word; in >> word;) {
    const auto length = parse_coupon_length(word);
    if (!length) return length.error();
    lengths.push_back(*length);
  }
  return fit_coupon(lengths, sd_mm / 1000);
}

}  // namespace

TEST_CASE("two lengths: the line through them, by hand") {
  const struct {
    const char* label;
    const char* words;
    double scale, scale_sd, offset_mm, offset_sd_mm;
  } rows[] = {
      // Wet and dried nylon of common practice, no source. (99.47 - 20.33)/80 =
      // 0.98925, shrink 1.075 %; 20.33 - 20 * 0.98925 = 0.545. Deviations for 0.02 mm:
      // sqrt(2) 0.02/80 = 3.5355e-4; 0.02 sqrt(20^2 + 100^2)/80 = 0.025495.
      {"wet", "20=20.33 100=99.47", 0.98925, 3.5355e-4, 0.545, 0.025495},
      // (99.40 - 19.91)/80 = 0.993625; 19.91 - 19.8725 = 0.0375.
      {"dried", "20=19.91 100=99.40", 0.993625, 3.5355e-4, 0.0375, 0.025495},
      {"either order", "100=99.40 20=19.91", 0.993625, 3.5355e-4, 0.0375, 0.025495},
      {"with units", "20mm=19.91mm 100mm=99.40mm", 0.993625, 3.5355e-4, 0.0375,
       0.025495},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto fit = fit_words(row.words, 0.02);
    REQUIRE(fit.has_value());
    CHECK(fit->scale == Approx(row.scale).epsilon(1e-12));
    CHECK(fit->scale_sd == Approx(row.scale_sd).epsilon(1e-4));
    CHECK(fit->offset_m * 1000 == Approx(row.offset_mm).margin(1e-12));
    CHECK(fit->offset_sd_m * 1000 == Approx(row.offset_sd_mm).epsilon(1e-4));
    CHECK(fit->scatter == 0);
  }
}

TEST_CASE("more lengths: least squares, and their own scatter where it is larger") {
  // 20, 60, 100 on y = 0.99 x + 0.1 with -e, +2e, -e: mean 60, Sxx 3200, slope and
  // offset unmoved; chi2 = 6 (e/sd)^2 over one freedom.
  const auto within = fit_words("20=19.899 60=59.502 100=99.099", 0.02);
  REQUIRE(within.has_value());
  CHECK(within->scale == Approx(0.99).epsilon(1e-9));
  CHECK(within->offset_m * 1000 == Approx(0.1).epsilon(1e-6));
  CHECK(within->scatter == Approx(std::sqrt(6.0) * 0.001 / 0.02));
  CHECK(within->scale_sd == Approx(0.02 / std::sqrt(3200.0)));
  CHECK(within->offset_sd_m * 1000 ==
        Approx(0.02 * std::sqrt(1 / 3.0 + 3600 / 3200.0)));
  const auto beyond = fit_words("20=19.85 60=59.60 100=99.05", 0.02);
  REQUIRE(beyond.has_value());
  CHECK(beyond->scale == Approx(0.99).epsilon(1e-9));
  CHECK(beyond->scatter == Approx(std::sqrt(6.0) * 0.05 / 0.02));
  CHECK(beyond->scale_sd ==
        Approx(0.02 / std::sqrt(3200.0) * std::sqrt(6.0) * 0.05 / 0.02));
}

TEST_CASE("lengths that tell nothing or cannot be") {
  const struct {
    const char* words;
    const char* error;
  } rows[] = {
      {"100=99.47",
       "one length cannot tell scale from offset; print and measure two that differ, "
       "e.g. 20 and 100 mm"},
      {"20=20.33 20=20.31",
       "all lengths are drawn 20 mm long, which cannot tell scale from offset; measure "
       "two that differ, e.g. 20 and 100 mm"},
      {"20=0.80 100=3.916",
       "measured 0.8 mm is not near the drawn 20 mm; that looks like inches: write "
       "20=20.32"},
      {"0.787=0.80 3.937=3.916",
       "a drawn length of 0.787 mm is too short to tell; lengths are in mm; if that "
       "was "
       "inches, write 19.9898=20.32"},
      {"20=20.33 100=9.947",
       "measured 9.947 mm is not near the drawn 100 mm; check which line was measured, "
       "and its unit"},
      {"20:20.33",
       "expected a drawn and a measured length, got \"20:20.33\"; write "
       "millimetres, e.g. 100=99.47"},
      {"20=20.33in",
       "expected a drawn and a measured length, got \"20=20.33in\"; "
       "write millimetres, e.g. 100=99.47"},
      {"20=-20.33",
       "expected a drawn and a measured length, got \"20=-20.33\"; write "
       "millimetres, e.g. 100=99.47"},
  };
  for (const auto& row : rows) {
    INFO(row.words);
    const auto fit = fit_words(row.words, 0.02);
    REQUIRE_FALSE(fit.has_value());
    CHECK(fit.error().text() == row.error);
  }
}

}  // namespace drydepth
