// Colours of the sheet and its figures against WCAG 2.2, for light and dark screens and
// for print, computed from the style sheets themselves. tests/page/page_checks.js does
// the same with what a browser makes of them.

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "page/chart.h"
#include "page/chart_style.h"
#include "page/html.h"

using namespace drydepth;

namespace {

using Colour = std::array<double, 3>;  // sRGB, 0 to 1

Colour colour(const std::string& hex) {
  REQUIRE((hex.size() == 7 || hex.size() == 4));
  Colour out{};
  const std::size_t digits = hex.size() == 7 ? 2 : 1;
  for (std::size_t k = 0; k < 3; ++k) {
    const std::string part = hex.substr(1 + digits * k, digits);
    const int value = std::stoi(digits == 2 ? part : part + part, nullptr, 16);
    out[k] = value / 255.0;
  }
  return out;
}

// W3C, Web Content Accessibility Guidelines 2.2 (2023), definitions of "relative
// luminance" and "contrast ratio", https://www.w3.org/TR/WCAG22/.
double luminance(const Colour& c) {
  const auto linear = [](double v) {
    return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
}

double contrast(const Colour& a, const Colour& b) {
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

Colour blend(const Colour& top, const Colour& under, double opacity) {
  Colour out{};
  for (std::size_t k = 0; k < 3; ++k) {
    out[k] = opacity * top[k] + (1 - opacity) * under[k];
  }
  return out;
}

// What stands behind "selector{...property:" in a style sheet, up to its end.
std::string value_of(const std::string& css, const std::string& selector,
                     const std::string& property) {
  const std::size_t block = css.find(selector + "{");
  if (block == std::string::npos) return {};
  const std::size_t end = css.find('}', block);
  const std::size_t at = css.find(property + ":", block);
  if (at == std::string::npos || at > end) return {};
  const std::size_t from = at + property.size() + 1;
  return css.substr(from, css.find_first_of(";}", from) - from);
}

// A style sheet as light screens and print take it, and as dark screens do. The dark
// rules hold on screens alone; print is light because it never sees them.
struct Sides {
  std::string light, dark;
};

Sides sides(const std::string& css) {
  const std::string media = "@media screen and (prefers-color-scheme:dark){";
  const std::size_t at = css.find(media);
  REQUIRE(at != std::string::npos);
  std::size_t end = at + media.size(), depth = 1;
  for (; depth > 0; ++end) depth = depth + (css[end] == '{') - (css[end] == '}');
  const std::string dark = css.substr(at, end - at);
  return {css.substr(0, at) + css.substr(end), dark};
}

}  // namespace

TEST_CASE("contrast: the formula on pairs that are known") {
  CHECK(contrast(colour("#000"), colour("#fff")) == Approx(21));
  CHECK(contrast(colour("#fff"), colour("#fff")) == Approx(1));
  // The lightest grey that passes 4.5 on white, and the next; from memory.
  CHECK(contrast(colour("#767676"), colour("#ffffff")) == Approx(4.54).margin(0.005));
  CHECK(contrast(colour("#777777"), colour("#ffffff")) == Approx(4.48).margin(0.005));
}

TEST_CASE("colours stand out") {
  // 1.4.3 wants 4.5 for text, 1.4.11 wants 3 for lines and marks that carry meaning,
  // also where one runs over the band of the feed in use.
  const Sides style = sides(chart_style());
  for (const std::string& css : {style.light, style.dark}) {
    const Colour ground = colour(value_of(css, ".dd-chart .ground", "fill"));
    const Colour ink = colour(value_of(css, ".dd-chart", "color"));
    CHECK(contrast(ink, ground) >= 7);
    const double leader =
        std::stod(value_of(style.light, ".dd-chart .leader", "opacity"));
    CHECK(contrast(blend(ink, ground, leader), ground) >= 3);
    const double fill =
        std::stod(value_of(style.light, ".dd-chart .band", "fill-opacity"));
    const Colour in_use = colour(value_of(css, ".dd-chart .band0", "fill"));
    for (int k = 0; k < kChartStyles; ++k) {
      const std::string n = std::to_string(k);
      INFO("style " << k);
      const Colour line = colour(value_of(css, ".dd-chart .line" + n, "stroke"));
      CHECK(contrast(line, ground) >= 3.5);
      CHECK(contrast(line, blend(in_use, ground, fill)) >= 3);
      CHECK(value_of(css, ".dd-chart .mark" + n, "stroke") ==
            value_of(css, ".dd-chart .line" + n, "stroke"));
    }
  }
}

TEST_CASE("the page's text stands out, and print is light") {
  const Sides style = sides(html_page("t", ""));
  for (const std::string& css : {style.light, style.dark}) {
    const Colour ground = colour(value_of(css, ":root", "--ground"));
    CHECK(contrast(colour(value_of(css, ":root", "--ink")), ground) >= 7);
    CHECK(contrast(colour(value_of(css, ":root", "--line")), ground) >= 3);
  }
  CHECK(luminance(colour(value_of(style.light, ":root", "--ground"))) == Approx(1));
  CHECK(luminance(colour(value_of(style.dark, ":root", "--ground"))) < 0.05);
  // Page and figures agree on what they stand on.
  const Sides charts = sides(chart_style());
  CHECK(value_of(style.dark, ":root", "--ground") ==
        value_of(charts.dark, ".dd-chart .ground", "fill"));
}
