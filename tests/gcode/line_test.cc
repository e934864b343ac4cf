#include "gcode/machine/line.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <random>
#include <string>

using namespace drydepth;

namespace {

struct WordValue {
  char letter;
  double value;
};

struct LineRow {
  const char* line;
  char letter;
  int number;
  std::vector<WordValue> words;
  const char* comment;
};

}  // namespace

TEST_CASE("a line falls into command, words and comment") {
  const LineRow rows[] = {
      {"G1 X10 Y-2.5 E.25", 'G', 1, {{'X', 10}, {'Y', -2.5}, {'E', 0.25}}, ""},
      {"G1X10Y20E.5", 'G', 1, {{'X', 10}, {'Y', 20}, {'E', 0.5}}, ""},
      {"G1 X10E5", 'G', 1, {{'X', 10}, {'E', 5}}, ""},
      {"g1 x+1 e-.5", 'G', 1, {{'X', 1}, {'E', -0.5}}, ""},
      {"  G1 X1. ;hop", 'G', 1, {{'X', 1}}, "hop"},
      {"G1 X 3\tY 4", 'G', 1, {{'X', 3}, {'Y', 4}}, ""},
      {"M104 S215 ; heat ; twice", 'M', 104, {{'S', 215}}, " heat ; twice"},
      {"T1", 'T', 1, {}, ""},
      {"T-1", 'T', -1, {}, ""},
      {"G92.1", 'G', 92, {}, ""},
      {"G1 X{move.axes[0].max}Y2", 'G', 1, {{'Y', 2}}, ""},
      {"G1 (fast E9) X2", 'G', 1, {{'X', 2}}, ""},
      {"M486 A\"part S4\" T2", 'M', 486, {{'T', 2}}, ""},
      {"M117 G1 X5", 'M', 117, {}, ""},
      {"G1 X1e3", 'G', 1, {{'X', 1}, {'E', 3}}, ""},
      {"G1 X--1", 'G', 1, {}, ""},
      {"G1 E99999999999999999999", 'G', 1, {}, ""},
      {"; only a comment", 0, -1, {}, " only a comment"},
      {"", 0, -1, {}, ""},
      {"%", 0, -1, {}, ""},
  };
  Command c;
  for (const LineRow& row : rows) {
    INFO(row.line);
    parse_line(row.line, c);
    CHECK(c.letter == row.letter);
    CHECK(c.number == row.number);
    CHECK(c.comment == row.comment);
    std::uint32_t expected = 0;
    for (const WordValue& word : row.words) {
      REQUIRE(c.has(word.letter));
      CHECK(c.value(word.letter) == word.value);
      expected |= Command::bit(word.letter);
    }
    CHECK(c.numbers() == expected);
  }
}

TEST_CASE("words without a number are mentioned") {
  Command c;
  parse_line("G28 X Y0", c);
  CHECK(c.mentions('X'));
  CHECK_FALSE(c.has('X'));
  CHECK(c.has('Y'));
  CHECK_FALSE(c.bare());
  parse_line("M221 S", c);
  CHECK_FALSE(c.has('S'));
  parse_line("G92", c);
  CHECK(c.bare());
}

TEST_CASE("commands spelled as words keep their name and text") {
  Command c;
  parse_line("ACTIVATE_EXTRUDER EXTRUDER=extruder1", c);
  CHECK(c.letter == 0);
  CHECK(c.name == "ACTIVATE_EXTRUDER");
  CHECK(c.text == " EXTRUDER=extruder1");
  parse_line("PAUSE;now", c);
  CHECK(c.name == "PAUSE");
  CHECK(c.comment == "now");
}

TEST_CASE("minus zero stays minus zero") {
  const std::string text = "-0.0";
  const Decimal d = read_decimal(text.data(), text.data() + text.size());
  CHECK(d.value == 0);
  CHECK(std::signbit(d.value));
}

// The C library's strtod is the reference: correctly rounded in glibc.
TEST_CASE("decimals are the nearest double, as strtod finds it") {
  std::mt19937_64 random(20260301);
  const auto digits = [&random](std::size_t most) {
    std::string text;
    for (std::size_t n = random() % (most + 1); n > 0; --n) {
      text.push_back(static_cast<char>('0' + random() % 10));
    }
    return text;
  };
  int read = 0;
  for (int i = 0; i < 50000; ++i) {
    const std::size_t most = i % 10 == 0 ? 40 : 9;
    std::string text = random() % 4 == 0 ? "-" : random() % 4 == 0 ? "+" : "";
    const std::string whole = digits(most);
    const std::string part = digits(most);
    if (whole.empty() && part.empty()) continue;
    text += whole;
    if (!part.empty() || random() % 2 == 0) text += "." + part;
    INFO(text);
    const Decimal got = read_decimal(text.data(), text.data() + text.size());
    REQUIRE(got.end == text.data() + text.size());
    REQUIRE(got.value == std::strtod(text.c_str(), nullptr));
    ++read;
  }
  CHECK(read > 40000);
}

TEST_CASE("what is no number is left where it stands") {
  for (const std::string text : {"", "-", "+", ".", "-.", "E5", "inf", "nan"}) {
    INFO(text);
    CHECK(read_decimal(text.data(), text.data() + text.size()).end == text.data());
  }
}

TEST_CASE("numbers beyond double do not break the reader") {
  const std::string huge = std::string(400, '9');
  const std::string tiny = "0." + std::string(400, '0') + "1";
  CHECK(read_decimal(huge.data(), huge.data() + huge.size()).value == HUGE_VAL);
  CHECK(read_decimal(tiny.data(), tiny.data() + tiny.size()).value == 0);
}
