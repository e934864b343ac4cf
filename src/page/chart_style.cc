#include "page/chart_style.h"

#include <array>

#include "page/chart.h"
#include "page/svg.h"

namespace drydepth {
namespace {

// Places on the colour map: on white up to where contrast falls under 3.5 to 1, on dark
// the mirror of it. Contrast as WCAG 2.1 counts it; test: "colours stand out".
constexpr std::array<double, kChartStyles> kOnLight = {0.0, 0.5, 0.25, 0.4};
constexpr std::array<double, kChartStyles> kOnDark = {1.0, 0.55, 0.8, 0.65};
constexpr std::array<const char*, kChartStyles> kDashes = {"none", "7 4", "2 3",
                                                           "10 3 2 3"};

std::string colours(const std::array<double, kChartStyles>& places) {
  std::string out;
  for (int k = 0; k < kChartStyles; ++k) {
    const std::string colour = map_colour(places[static_cast<std::size_t>(k)]);
    const std::string n = std::to_string(k);
    out += ".dd-chart .line" + n + "{stroke:" + colour + "}\n";
    out += ".dd-chart .band" + n + "{fill:" + colour + ";stroke:" + colour + "}\n";
    out += ".dd-chart .mark" + n + "{fill:" + colour + ";stroke:" + colour + "}\n";
  }
  return out;
}

}  // namespace

std::string chart_style() {
  std::string out =
      ".dd-chart{color:#1c1c1c}\n"
      ".dd-chart .ground{fill:#fff;stroke:none}\n"
      ".dd-chart text{fill:currentColor;font:12px sans-serif}\n"
      ".dd-chart .frame{stroke:currentColor;stroke-width:1;fill:none}\n"
      ".dd-chart .grid{stroke:currentColor;stroke-width:.5;opacity:.18}\n"
      ".dd-chart .rule{stroke:currentColor;stroke-width:1;stroke-dasharray:1 2}\n"
      ".dd-chart .leader{stroke:currentColor;stroke-width:.6;opacity:.55;fill:none}\n"
      ".dd-chart .line{fill:none;stroke-width:2;stroke-linejoin:round}\n"
      ".dd-chart .band{fill-opacity:.16;stroke-width:.7;stroke-opacity:.6}\n"
      ".dd-chart .mark{stroke-width:1.4}\n"
      ".dd-chart .mark.hollow{fill:none}\n";
  for (int k = 1; k < kChartStyles; ++k) {
    const std::string n = std::to_string(k);
    out += ".dd-chart .line" + n + ",.dd-chart .band" + n +
           "{stroke-dasharray:" + kDashes[static_cast<std::size_t>(k)] + "}\n";
  }
  out += colours(kOnLight);
  out +=
      "@media screen and (prefers-color-scheme:dark){\n"
      ".dd-chart{color:#e9e9e9}\n"
      ".dd-chart .ground{fill:#16181b}\n" +
      colours(kOnDark) + "}\n";
  return out;
}

}  // namespace drydepth
