#include "page/label_svg.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "base/exit_code.h"
#include "base/markup.h"
#include "base/numbers.h"
#include "base/wrap.h"
#include "page/qr_code.h"
#include "page/svg.h"

namespace drydepth {
namespace {

// All in millimetres. Both least sizes are common practice, no source: 5-point letters
// can be read at arm's length, three dots a module by a telephone's camera.
constexpr double kLeastLetter = 1.8, kMostLetter = 4.0;
constexpr double kDot = 0.125;
constexpr int kLeastDots = 3, kMostDots = 8;
constexpr double kMargin = 1.5;
constexpr double kCodeShare = 0.4;  // of the long side, unless the code needs more
// Of a letter's size: the advance of fixed-width fonts is 0.600 (Liberation Mono) or
// 0.602 (DejaVu Sans Mono), read off the fonts.
constexpr double kAdvance = 0.61;
constexpr double kLeading = 1.15, kAscent = 0.9;

struct Line {
  std::string text;
  double letter = 0, baseline = 0;
};

struct Layout {
  std::vector<Line> lines{};
  double module = 0;
  Spot code{};  // of its first module, the quiet zone left out
};

double lines_height(const std::vector<Line>& lines) {
  double out = 0;
  for (const Line& line : lines) out += line.letter * kLeading;
  return out;
}

std::size_t columns_at(double letter, double width) {
  return static_cast<std::size_t>(std::max(0.0, width / (kAdvance * letter)));
}

// The text in letters of a size, the id larger where it then stays on one line.
std::vector<Line> text_lines(const Label& label, double letter, double width) {
  std::vector<Line> out;
  double large = letter;
  for (const double factor : {2.2, 1.8, 1.4}) {
    if (columns_of(label.id) > columns_at(letter * factor, width)) continue;
    large = letter * factor;
    break;
  }
  const auto add = [&](const std::string& text, double size) {
    for (std::string& line : narrow_lines(text, columns_at(size, width))) {
      out.push_back({std::move(line), size, 0});
    }
  };
  add(label.id, large);
  for (const std::string& sentence : label.lines) add(sentence, letter);
  return out;
}

// The largest letters that fit a box; nothing where even the least do not.
std::optional<std::vector<Line>> fit_text(const Label& label, double width,
                                          double height) {
  constexpr std::size_t kLeastColumns = 12;
  const int steps = static_cast<int>(std::lround((kMostLetter - kLeastLetter) / 0.1));
  for (int k = 0; k <= steps; ++k) {
    const double letter = kMostLetter - 0.1 * k;
    if (columns_at(letter, width) < kLeastColumns) continue;
    auto lines = text_lines(label, letter, width);
    if (lines_height(lines) <= height) return lines;
  }
  return std::nullopt;
}

void set_baselines(std::vector<Line>& lines, double top) {
  for (Line& line : lines) {
    line.baseline = top + kAscent * line.letter;
    top += kLeading * line.letter;
  }
}

std::optional<Layout> lay_out(const Label& label, const QrCode& code, LabelSize size) {
  const double inner_width = size.width_mm - 2 * kMargin;
  const double inner_height = size.height_mm - 2 * kMargin;
  const bool lies = size.width_mm > size.height_mm;
  const double room = kCodeShare * std::max(size.width_mm, size.height_mm);
  for (int dots = kMostDots; dots >= kLeastDots; --dots) {
    const double module = dots * kDot;
    const double side = static_cast<double>(code.side + 2 * kQuietModules) * module;
    if (side > (lies ? inner_height : inner_width)) continue;
    if (side > room && dots > kLeastDots) continue;
    auto lines = fit_text(label, lies ? inner_width - side : inner_width,
                          lies ? inner_height : inner_height - side);
    if (!lines) continue;
    set_baselines(*lines, kMargin);
    const double quiet = module * static_cast<double>(kQuietModules);
    // At the right end or in the middle below, on a whole dot.
    const double x = lies ? size.width_mm - kMargin - side : (size.width_mm - side) / 2;
    const double y =
        lies ? (size.height_mm - side) / 2 : size.height_mm - kMargin - side;
    const auto on_dot = [](double v) { return std::floor(v / kDot) * kDot; };
    return Layout{*std::move(lines), module, {on_dot(x) + quiet, on_dot(y) + quiet}};
  }
  return std::nullopt;
}

std::string mm(double value) {
  std::string out = format_fixed(value, 3);
  out.erase(out.find_last_not_of('0') + 1);
  if (out.back() == '.') out.pop_back();
  return out;
}

// All dark modules as one path, a rectangle for each run in a row.
std::string code_path(const QrCode& code, const Layout& layout) {
  std::string d;
  for (std::size_t row = 0; row < code.side; ++row) {
    for (std::size_t from = 0; from < code.side; ++from) {
      if (!code.at(row, from)) continue;
      std::size_t to = from + 1;
      while (to < code.side && code.at(row, to)) ++to;
      const std::string run = std::to_string(to - from);
      d += "M" + std::to_string(from) + " " + std::to_string(row) + "h" + run + "v1h-" +
           run + "z";
      from = to;
    }
  }
  return "<path shape-rendering=\"crispEdges\" transform=\"translate(" +
         mm(layout.code.x) + " " + mm(layout.code.y) + ") scale(" + mm(layout.module) +
         ")\" d=\"" + d + "\"/>\n";
}

std::string drawn(const Label& label, const QrCode& code, const Layout& layout,
                  LabelSize size) {
  const std::string w = mm(size.width_mm), h = mm(size.height_mm);
  std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + w +
                    "mm\" height=\"" + h + "mm\" viewBox=\"0 0 " + w + " " + h +
                    "\" font-family=\"monospace\">\n";
  out += "<title>" + xml_escaped("Label of spool " + label.id + ", an estimate") +
         "</title>\n";
  out += "<rect width=\"" + w + "\" height=\"" + h + "\" fill=\"#fff\"/>\n";
  for (const Line& line : layout.lines) {
    out += "<text x=\"" + mm(kMargin) + "\" y=\"" + mm(line.baseline) +
           "\" font-size=\"" + mm(line.letter) + "\">" + xml_escaped(line.text) +
           "</text>\n";
  }
  return out + code_path(code, layout) + "</svg>\n";
}

std::string size_text(LabelSize size) {
  return mm(size.width_mm) + "x" + mm(size.height_mm) + "mm";
}

constexpr double kLeastSide = 15, kMostSide = 300;  // mm

Error too_small(const Label& label, const QrCode& code, LabelSize size) {
  Error out{"--size",
            size_text(size) + " is too small for this label: its letters are " +
                mm(kLeastLetter) + " mm and a module of its code " +
                mm(kLeastDots * kDot) + " mm at least",
            "give a larger one", kExitUsage};
  for (double factor = 1.05; factor < 8; factor += 0.05) {
    const LabelSize grown{std::ceil(size.width_mm * factor),
                          std::ceil(size.height_mm * factor)};
    if (std::max(grown.width_mm, grown.height_mm) > kMostSide) break;
    if (!lay_out(label, code, grown)) continue;
    out.hint = "of this shape " + size_text(grown) + " would do";
    break;
  }
  return out;
}

}  // namespace

Result<LabelSize> read_label_size(const std::string& word) {
  if (word == "A7" || word == "a7") return LabelSize{74, 105};
  if (word == "A8" || word == "a8") return LabelSize{52, 74};
  const auto width = parse_leading_number(word);
  if (width && width->rest.starts_with('x')) {
    const auto height = parse_leading_number(width->rest.substr(1));
    const bool unit = height && (height->rest.empty() || height->rest == "mm");
    const auto in_range = [](double v) { return v >= kLeastSide && v <= kMostSide; };
    if (unit && in_range(width->value) && in_range(height->value)) {
      return LabelSize{width->value, height->value};
    }
  }
  return Error{"--size", "\"" + word + "\" is no size of a label",
               "write width x height in millimetres, 15 to 300 each, such as 60x30mm, "
               "or A7 or A8",
               kExitUsage};
}

Result<std::string> label_svg(const Label& label, LabelSize size) {
  auto code = qr_code(label.payload);
  if (!code) {
    Error error = code.error();
    error.where = "the label";
    return error;
  }
  const auto layout = lay_out(label, *code, size);
  if (!layout) return too_small(label, *code, size);
  return drawn(label, *code, *layout, size);
}

}  // namespace drydepth
