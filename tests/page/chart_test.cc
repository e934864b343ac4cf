#include "page/chart.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "base/markup.h"
#include "page/spread.h"
#include "page/svg.h"

using namespace drydepth;

namespace {

std::string labels_of(const FittedAxis& axis) {
  std::string out;
  for (const Tick& tick : axis.ticks) out += (out.empty() ? "" : " ") + tick.label;
  return out;
}

Chart small_chart() {
  Chart chart{.id = "c",
              .title = "a < b & \"c\"",
              .description = "d > e",
              .x = {.title = "x, g"},
              .y = {.title = "y, %"},
              .second_x = SecondAxis{"t, h", {{0, "0"}, {10, "1"}}}};
  chart.bands = {{{{0, 0.5, 1.5}, {10, 2, 4}}, 0}};
  chart.lines = {{{{0, 1}, {10, 3}}, "up <1>", 0}, {{{0, 1}, {10, 3.01}}, "up 2", 1}};
  chart.marks = {{{{5, 2, ChartPoint{4, 6}, ChartPoint{1.5, 2.5}}}, "m", 2}};
  chart.rules = {{RuleAlong::kX, 2, "limit"}, {RuleAlong::kY, 4, "here"}};
  return chart;
}

std::size_t count(const std::string& text, const std::string& piece) {
  std::size_t out = 0;
  for (std::size_t at = text.find(piece); at != std::string::npos;
       at = text.find(piece, at + 1)) {
    ++out;
  }
  return out;
}

}  // namespace

TEST_CASE("axes: round ticks around the data") {
  constexpr AxisScale kLin = AxisScale::kLinear, kLog = AxisScale::kLog;
  const double inf = std::numeric_limits<double>::infinity();
  struct Row {
    AxisScale scale;
    std::vector<double> values;
    int ticks;
    const char* labels;
  };
  const Row rows[] = {
      {kLin, {0, 450}, 5, "0 100 200 300 400 500"},
      {kLin, {0.28, 2.8}, 6, "0.0 0.5 1.0 1.5 2.0 2.5 3.0"},
      {kLin, {-0.31, 0.12}, 5, "-0.4 -0.3 -0.2 -0.1 0.0 0.1 0.2"},
      {kLin, {1203.9, 1220.2}, 4, "1200 1205 1210 1215 1220 1225"},
      {kLin, {0.00021, 0.00037}, 4, "0.00020 0.00025 0.00030 0.00035 0.00040"},
      {kLin, {5}, 5, "2 3 4 5 6 7 8"},
      {kLin, {0, 0}, 5, "0.0 0.2 0.4 0.6 0.8 1.0"},
      {kLin, {}, 5, "0.0 0.2 0.4 0.6 0.8 1.0"},
      {kLin, {1, std::nan(""), inf, 3}, 2, "1 2 3"},
      {kLog, {0.03, 0.4}, 5, "0.02 0.05 0.1 0.2 0.5"},
      {kLog, {2e-5, 0.7}, 5, "10⁻⁵ 10⁻⁴ 10⁻³ 10⁻² 10⁻¹ 1"},
      {kLog, {3e5, 4e6}, 5, "2×10⁵ 5×10⁵ 10⁶ 2×10⁶ 5×10⁶"},
      {kLog, {-1, 0}, 5, "1 2 5 10"},
      {kLog, {1, 1000}, 5, "1 10 100 1000"},
  };
  for (const Row& row : rows) {
    const FittedAxis axis = fit_axis({.scale = row.scale}, row.values, row.ticks);
    INFO("ticks wanted: " << row.labels);
    CHECK(labels_of(axis) == row.labels);
    CHECK(axis.low < axis.high);
  }
}

TEST_CASE("axes: where a value stands") {
  CHECK(labels_of(fit_axis({.low = 0, .high = 450}, {}, 5)) == "0 100 200 300 400");
  const FittedAxis linear = fit_axis({.low = 10, .high = 30}, {}, 5);
  CHECK(share_along(linear, 15) == Approx(0.25));
  CHECK(share_along(linear, 35) == Approx(1.25));
  const FittedAxis log =
      fit_axis({.scale = AxisScale::kLog, .low = 0.01, .high = 100}, {}, 5);
  CHECK(share_along(log, 1) == Approx(0.5));
  CHECK(share_along(log, 0) == 0.0);
}

TEST_CASE("labels are spread apart and stay in order and inside") {
  struct Row {
    std::vector<double> wanted, got;
  };
  const Row rows[] = {{{}, {}},
                      {{50}, {50}},
                      {{-5}, {0}},
                      {{50, 52}, {46, 56}},
                      {{52, 50}, {56, 46}},
                      {{10, 50, 90}, {10, 50, 90}},
                      {{50, 50, 50}, {40, 50, 60}},
                      {{98, 99, 40}, {90, 100, 40}},
                      {{1, 2, 14}, {0, 10, 20}}};
  for (const Row& row : rows) {
    const auto got = spread_apart(row.wanted, 10, 0, 100);
    REQUIRE(got.size() == row.got.size());
    for (std::size_t k = 0; k < got.size(); ++k) {
      INFO("label " << k << " of " << got.size());
      CHECK(got[k] == Approx(row.got[k]).margin(1e-9));
    }
  }
  const auto crowded = spread_apart(std::vector<double>(21, 70.0), 10, 0, 100);
  CHECK(crowded.front() == Approx(0).margin(1e-9));
  CHECK(crowded[1] == Approx(5));
  CHECK(crowded.back() == Approx(100));
}

TEST_CASE("strings are escaped whatever they hold") {
  struct Row {
    std::string text, escaped;
  };
  const std::string bad = "\xEF\xBF\xBD";
  const Row rows[] = {
      {"<b>&\"'", "&lt;b&gt;&amp;&quot;&#39;"},
      {"23 °C, µ, 漢, 😀", "23 °C, µ, 漢, 😀"},
      {std::string("a\0b", 3), "a" + bad + "b"},
      {"a\tb\nc\x1b[31m", "a\tb\nc" + bad + "[31m"},
      {"\xC3(", bad + "("},               // cut sequence
      {"\xC0\xAF", bad + bad},            // overlong "/"
      {"\xED\xA0\x80", bad + bad + bad},  // half a surrogate pair
      {"\xEF\xBF\xBF", bad + bad + bad},  // no character
      {"\xF4\x90\x80\x80", bad + bad + bad + bad},
      {"\xE2\x82", bad + bad},
  };
  for (const Row& row : rows) {
    INFO(row.escaped);
    CHECK(xml_escaped(row.text) == row.escaped);
  }
}

TEST_CASE("coordinates and colours") {
  CHECK(pixels(12) == "12");
  CHECK(pixels(0.1) == "0.1");
  CHECK(pixels(-0.004) == "0");
  CHECK(pixels(100.126) == "100.13");
  // Ends and middle of the published table.
  CHECK(map_colour(0) == "#00224e");
  CHECK(map_colour(0.5) == "#7d7c78");
  CHECK(map_colour(2) == "#fee838");
}

TEST_CASE("room for a text is never less than the widest font takes") {
  // Widths in DejaVu Sans 2.37 at 12 pixels, as Chromium measures them.
  struct Row {
    const char* text;
    double pixels;
  };
  const Row rows[] = {{"open, in use", 73.57},
                      {"0.50 % cosmetic", 99.65},
                      {"0.20 % strength", 96.29},
                      {"live-dryer", 57.45},
                      {"h since 2026-03-04 18:00 UTC", 182.14},
                      {"moisture at the nozzle, % of dry mass", 227.68}};
  for (const Row& row : rows) {
    INFO(row.text);
    CHECK(text_width(row.text) >= row.pixels);
    CHECK(text_width(row.text) < 1.15 * row.pixels);
  }
}

TEST_CASE("an upright rule's name at the left end keeps off the y axis") {
  Chart chart = small_chart();
  chart.rules = {{RuleAlong::kY, 0, "message"}};
  const std::string svg = chart_svg(chart);
  const auto number = [&](const std::string& before, std::size_t from) {
    return std::stod(svg.substr(svg.find(before, from) + before.size()));
  };
  const double plot = number("<line class=\"grid\" x1=\"", 0);
  const std::size_t name = svg.rfind("<text", svg.find(">message<"));
  CHECK(number(" x=\"", name) == Approx(plot + text_width("message") / 2).margin(0.01));
}

TEST_CASE("a chart escapes its words and names itself") {
  const std::string svg = chart_svg(small_chart());
  CHECK(count(svg, "<title id=\"c-title\">a &lt; b &amp; &quot;c&quot;</title>") == 1);
  CHECK(count(svg, "<desc id=\"c-desc\">d &gt; e</desc>") == 1);
  CHECK(count(svg, "aria-labelledby=\"c-title c-desc\"") == 1);
  CHECK(count(svg, ">up &lt;1&gt;</text>") == 1);
  CHECK(count(svg, "<script") == 0);
  CHECK(count(svg, "href") == 0);
  CHECK(svg == chart_svg(small_chart()));
}

TEST_CASE("a chart leaves out what is not finite") {
  Chart chart = small_chart();
  const double nan = std::nan("");
  chart.lines[0].points.push_back({11, nan});
  chart.bands[0].slices.push_back({12, nan, 1});
  chart.marks[0].marks.push_back({nan, 2});
  CHECK(chart_svg(chart) == chart_svg(small_chart()));
}

TEST_CASE("names at the ends do not touch") {
  Chart chart = small_chart();
  for (int k = 0; k < 6; ++k) {
    chart.lines.push_back({{{0, 1}, {10, 3 + 0.001 * k}}, "line", 3});
  }
  const std::string svg = chart_svg(chart);
  std::vector<double> levels;
  const std::string piece = "<text class=\"name\"";
  for (std::size_t at = svg.find(piece); at != std::string::npos;
       at = svg.find(piece, at + 1)) {
    const std::size_t y = svg.find(" y=\"", at) + 4;
    if (svg.find("text-anchor", at) > svg.find('>', at)) {
      levels.push_back(std::stod(svg.substr(y)));
    }
  }
  REQUIRE(levels.size() == 10);
  std::sort(levels.begin(), levels.end());
  for (std::size_t k = 1; k < levels.size(); ++k) {
    CHECK(levels[k] - levels[k - 1] > 14.98);
  }
}

TEST_CASE("upright rules' names stand in rows, none over another") {
  Chart chart = small_chart();
  chart.rules = {{RuleAlong::kY, 4.0, "the first of them"},
                 {RuleAlong::kY, 4.1, "the second of them"},
                 {RuleAlong::kY, 9.5, "far away"}};
  const std::string svg = chart_svg(chart);
  const auto level = [&](const std::string& name) {
    const std::size_t text = svg.find(">" + name + "<");
    const std::size_t y = svg.rfind(" y=\"", text) + 4;
    return svg.substr(y, svg.find('"', y) - y);
  };
  CHECK(level("the first of them") != level("the second of them"));
  CHECK(level("the first of them") == level("far away"));
}
