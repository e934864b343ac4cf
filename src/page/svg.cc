#include "page/svg.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "base/markup.h"
#include "base/numbers.h"

namespace drydepth {
namespace {

struct Rgb {
  int red, green, blue;
};

// Entries 0, 32, 64 .. 224 and 255 of the published table of 256; between them the map
// is taken as straight, which is off by less than 3 of 255.
constexpr std::array<Rgb, 9> kMap = {{{0, 34, 78},
                                      {26, 56, 111},
                                      {67, 78, 108},
                                      {97, 101, 111},
                                      {125, 124, 120},
                                      {155, 148, 118},
                                      {188, 174, 108},
                                      {222, 201, 88},
                                      {254, 232, 56}}};

// A character's width in em, by class, none narrower than in DejaVu Sans 2.37, the
// widest of what stands for sans-serif on Debian (advance widths as a browser measures
// them; Noto Sans and Liberation Sans lie below but for the bar).
double em_width(std::string_view character) {
  const char c = character[0];
  const auto one_of = [&](std::string_view set) {
    return character.size() == 1 && set.find(c) != std::string_view::npos;
  };
  if (one_of(" ',./:;Iijl")) return 0.34;
  if (one_of("!()-[]frt")) return 0.42;
  if (one_of("mMWw%@")) return 1.0;
  if (one_of("#&+<=>^~") || (c >= 'A' && c <= 'Z')) return 0.84;
  if (character.size() == 1) return 0.64;
  if (character.size() == 2) return 0.84;
  // Superscripts and subscripts, U+2070 and on; else a full square.
  const bool raised = character.substr(0, 2) == "\xE2\x81";
  return raised ? 0.55 : 1.0;
}

std::string hex(int value) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  const auto byte = static_cast<std::size_t>(std::clamp(value, 0, 255));
  return {kDigits[byte / 16], kDigits[byte % 16]};
}

std::string open(std::string_view element, std::string_view css) {
  return "<" + std::string(element) + " class=\"" + std::string(css) + "\"";
}

std::string attribute(std::string_view name, double value) {
  return " " + std::string(name) + "=\"" + pixels(value) + "\"";
}

}  // namespace

std::string pixels(double value) {
  std::string out = format_fixed(value, 2);
  out.erase(out.find_last_not_of('0') + 1);
  if (out.back() == '.') out.pop_back();
  return out;
}

std::string map_colour(double share) {
  const double place = std::clamp(share, 0.0, 1.0) * (kMap.size() - 1.0);
  const auto below = std::min(static_cast<std::size_t>(place), kMap.size() - 2);
  const double part = place - static_cast<double>(below);
  const Rgb& a = kMap[below];
  const Rgb& b = kMap[below + 1];
  const auto mix = [&](int from, int to) {
    return hex(static_cast<int>(std::lround(from + part * (to - from))));
  };
  return "#" + mix(a.red, b.red) + mix(a.green, b.green) + mix(a.blue, b.blue);
}

std::string svg_line(std::string_view css, Spot from, Spot to) {
  return open("line", css) + attribute("x1", from.x) + attribute("y1", from.y) +
         attribute("x2", to.x) + attribute("y2", to.y) + "/>\n";
}

std::string svg_text(std::string_view css, Spot at, Anchor anchor,
                     std::string_view text) {
  std::string out = open("text", css) + attribute("x", at.x) + attribute("y", at.y);
  if (anchor == Anchor::kMiddle) out += " text-anchor=\"middle\"";
  if (anchor == Anchor::kEnd) out += " text-anchor=\"end\"";
  return out + ">" + xml_escaped(text) + "</text>\n";
}

std::string svg_path(std::string_view css, const std::vector<Spot>& spots,
                     bool closed) {
  std::string out = open("path", css) + " d=\"";
  for (std::size_t k = 0; k < spots.size(); ++k) {
    out += (k == 0 ? "M" : "L") + pixels(spots[k].x) + " " + pixels(spots[k].y);
  }
  return out + (closed ? "Z" : "") + "\"/>\n";
}

std::string svg_box(std::string_view css, Spot corner, double width, double height) {
  return open("rect", css) + attribute("x", corner.x) + attribute("y", corner.y) +
         attribute("width", width) + attribute("height", height) + "/>\n";
}

double text_width(std::string_view text) {
  double ems = 0;
  for (std::size_t k = 0; k < text.size();) {
    const std::size_t bytes = std::max<std::size_t>(character_bytes(text.substr(k)), 1);
    ems += em_width(text.substr(k, bytes));
    k += bytes;
  }
  return 12 * ems;
}

}  // namespace drydepth
