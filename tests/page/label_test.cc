#include <catch2/catch.hpp>

#include "base/digests.h"
#include "base/numbers.h"
#include "base/wrap.h"
#include "guard/dried_spool.h"
#include "page/label_svg.h"
#include "page/qr_code.h"

using namespace drydepth;

namespace {

// A spool of the test dried, under any id.
Label label_of(const std::string& id, bool told = true) {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 16, 1);
  Report report;
  report.at = *parse_instant("2026-03-06T06:00:00Z");
  SpoolReport spool{};
  spool.of = dried;
  spool.of.record.id = id;
  spool.of.record.text = "{}";
  spool.now = run_race(dried, {}, {}, members, 1).now;
  spool.told = told;
  report.spools.push_back(spool);
  return make_label(report, StatedAir{296.15, 0.45}, utc_zone());
}

struct Text {
  double x = 0, y = 0, letter = 0;
  std::string text;
};

double attribute(const std::string& element, const std::string& name) {
  const std::size_t at = element.find(" " + name + "=\"") + name.size() + 3;
  return parse_number(element.substr(at, element.find('"', at) - at)).value();
}

std::vector<Text> texts_of(const std::string& svg) {
  std::vector<Text> out;
  for (std::size_t at = 0; (at = svg.find("<text", at)) != std::string::npos; ++at) {
    const std::size_t close = svg.find('>', at);
    const std::string element = svg.substr(at, close - at);
    out.push_back({attribute(element, "x"), attribute(element, "y"),
                   attribute(element, "font-size"),
                   svg.substr(close + 1, svg.find("</text>", at) - close - 1)});
  }
  return out;
}

// Columns of a text that is escaped: a reference is one letter.
double columns(std::string text) {
  for (const char* reference : {"&lt;", "&gt;", "&amp;", "&quot;", "&#39;"}) {
    const std::string piece(reference);
    for (std::size_t at; (at = text.find(piece)) != std::string::npos;) {
      text.replace(at, piece.size(), "x");
    }
  }
  return static_cast<double>(columns_of(text));
}

const std::string kLong = "<script>" + std::string(72, 'W');

}  // namespace

TEST_CASE("label: text stays on the label, clear of the code, and is never too small") {
  struct Row {
    std::string id, size;
  };
  for (const Row& row :
       {Row{"K-07", "60x30mm"}, Row{"K-07", "A7"}, Row{"K-07", "A8"},
        Row{"<script>", "60x30"}, Row{kLong, "60x30"}, Row{kLong, "100x50"},
        Row{kLong, "A7"}, Row{"a b c & d", "50.5x60mm"}, Row{"K-07", "300x300"}}) {
    INFO(row.id << " " << row.size);
    const LabelSize size = *read_label_size(row.size);
    const auto svg = label_svg(label_of(row.id), size);
    REQUIRE(svg.has_value());
    CHECK(svg->find("<script") == std::string::npos);
    const std::size_t path = svg->find("translate(") + 10;
    const double code_x = parse_leading_number(svg->substr(path))->value;
    const std::string after_x = svg->substr(svg->find(' ', path) + 1);
    const double code_y = parse_leading_number(after_x)->value;
    const double module =
        parse_leading_number(after_x.substr(after_x.find("scale(") + 6))->value;
    CHECK(module >= 0.375);
    const double quiet = 4 * module;
    const bool beside = size.width_mm > size.height_mm;
    double bottom = 0;
    for (const Text& text : texts_of(*svg)) {
      INFO(text.text);
      CHECK(text.letter >= 1.8 - 1e-9);
      CHECK(text.y - text.letter >= bottom - 0.2);
      bottom = text.y;
      // 0.602 em is the widest advance of the common fixed-width fonts.
      const double right = text.x + 0.602 * text.letter * columns(text.text);
      CHECK(right <= (beside ? code_x - quiet : size.width_mm));
    }
    CHECK(bottom + 0.25 * texts_of(*svg).back().letter <=
          (beside ? size.height_mm : code_y - quiet) + 1e-6);
  }
}

TEST_CASE("label: what it says") {
  const Label label = label_of("K-07");
  CHECK(label.record == sha256_hex("{}").substr(0, 16));
  CHECK(label.payload == "K-07 sha256:" + label.record);
  const std::string whole = label_text(label, 200), text = label_text(label, 32);
  for (const char* piece : {"K-07\n", "polyamide 6 (pa6), body pc,", "estimate of",
                            "2026-03-06 06:00", "below 0.50 % (cosmetic)", "p10-p90",
                            "since drying", "above 60 C", "record 44136fa355b3678a"}) {
    INFO(piece);
    CHECK(whole.find(piece) != std::string::npos);
  }
  for (std::size_t at = 0, end = 0; at < text.size(); at = end + 1) {
    end = text.find('\n', at);
    CHECK(end - at <= 32);
  }
  const std::string untold = label_text(label_of("K-07", false), 60);
  CHECK(untold.find("the record says too little to tell") != std::string::npos);
  for (const char* piece : {"valid", "below", "mean"}) {
    CHECK(untold.find(piece) == std::string::npos);
  }
  CHECK(label_of("a\nb\x7F").payload.starts_with("a b  sha256:"));
}

TEST_CASE("label: sizes") {
  CHECK(read_label_size("A7")->height_mm == 105);
  CHECK(read_label_size("62.5x29mm")->width_mm == 62.5);
  for (const char* word : {"", "A6", "60", "60x", "x30", "60x30cm", "10x30", "60x301",
                           "60x-30", "60 x 30"}) {
    INFO(word);
    CHECK(read_label_size(word).error().text() ==
          "--size: \"" + std::string(word) +
              "\" is no size of a label; write width x height in millimetres, 15 to "
              "300 each, such as 60x30mm, or A7 or A8");
  }
  const auto small = label_svg(label_of("K-07"), {40, 20});
  REQUIRE_FALSE(small.has_value());
  CHECK(small.error().exit_code == 64);
  const std::string said = small.error().text();
  const std::string lead =
      "--size: 40x20mm is too small for this label: its letters are 1.8 mm and a "
      "module "
      "of its code 0.375 mm at least; of this shape ";
  REQUIRE(said.starts_with(lead));
  const std::string would =
      said.substr(lead.size(), said.find("mm would do") + 2 - lead.size());
  CHECK(label_svg(label_of("K-07"), *read_label_size(would)).has_value());
}

TEST_CASE("label: more than a code can hold is refused") {
  const auto svg = label_svg(label_of(std::string(3000, 'x')), {300, 300});
  REQUIRE_FALSE(svg.has_value());
  CHECK(
      svg.error().text() ==
      "the label: a QR code cannot hold the 3024 bytes that it should; give the spool "
      "a shorter id");
}

// ISO/IEC 18004: 17 + 4 x version modules a side, a finder pattern in three corners;
// version 1-M holds 14 bytes and 2-M 26 (from memory).
TEST_CASE("QR code: size and finder patterns") {
  struct Row {
    std::size_t bytes, side;
  };
  for (const Row& row : {Row{1, 21}, Row{14, 21}, Row{15, 25}, Row{26, 25}}) {
    INFO(row.bytes);
    const auto code = qr_code(std::string(row.bytes, 'a'));
    REQUIRE(code.has_value());
    CHECK(code->side == row.side);
    for (std::size_t k = 0; k < 7; ++k) {
      CHECK(code->at(0, k));
      CHECK(code->at(row.side - 1, k));
      CHECK(code->at(0, row.side - 1 - k));
      CHECK_FALSE(code->at(7, k));
    }
  }
}
