#include "base/numbers.h"

#include <catch2/catch.hpp>
#include <clocale>
#include <limits>
#include <string>

namespace drydepth {
namespace {

TEST_CASE("fixed decimals") {
  struct Row {
    double value;
    int decimals;
    std::string text;
  };
  const Row rows[] = {
      {0, 0, "0"},
      {1211.4, 1, "1211.4"},
      {0.5, 0, "0"},  // half to even, as the exact binary value says
      {1.5, 0, "2"},
      {2.675, 2, "2.67"},  // the double lies below the tie
      {-0.004, 2, "0.00"},
      {-0.006, 2, "-0.01"},
      {1e15, 3, "1000000000000000.000"},
      {2e-13, 9, "0.000000000"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    CHECK(format_fixed(row.value, row.decimals) == row.text);
  }
  CHECK(format_fixed(std::numeric_limits<double>::max(), 9).size() == 319);
}

TEST_CASE("shortest text reads back to the same double") {
  for (const double value : {0.1, 1.75, 2e-13, -4000.0, 1.0 / 3, 5e-324, 1.7e308}) {
    const std::string text = format_shortest(value);
    INFO(text);
    CHECK(parse_number(text) == value);
  }
  CHECK(format_shortest(2e-13) == "2e-13");
}

TEST_CASE("numbers as typed") {
  struct Row {
    std::string text;
    std::optional<double> value;
  };
  const Row rows[] = {
      {"1.75", 1.75},
      {"+1.75", 1.75},
      {"-40", -40},
      {".5", 0.5},
      {"2e-13", 2e-13},
      {"", std::nullopt},
      {"+", std::nullopt},
      {"-", std::nullopt},
      {"+-1", std::nullopt},
      {"1,75", std::nullopt},
      {" 1", std::nullopt},
      {"1 ", std::nullopt},
      {"inf", std::nullopt},
      {"-inf", std::nullopt},
      {"nan", std::nullopt},
      {"0x10", std::nullopt},
      {"1e999", std::nullopt},
      {"12g", std::nullopt},
  };
  for (const Row& row : rows) {
    INFO('"' << row.text << '"');
    CHECK(parse_number(row.text) == row.value);
  }
}

TEST_CASE("a number and its unit") {
  const auto both = parse_leading_number("82C");
  REQUIRE(both);
  CHECK(both->value == 82);
  CHECK(both->rest == "C");
  CHECK(parse_leading_number("1211.4 g")->rest == " g");
  CHECK_FALSE(parse_leading_number("C82"));
}

TEST_CASE("no locale changes a number") {
  // Which comma locales exist differs by machine; "C" alone would prove nothing, so the
  // check runs under each that can be set.
  const std::string before = std::setlocale(LC_ALL, nullptr);
  for (const char* name : {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE", "C.UTF-8"}) {
    if (std::setlocale(LC_ALL, name) == nullptr) continue;
    INFO(name);
    CHECK(format_fixed(1234.5, 1) == "1234.5");
    CHECK(parse_number("1234.5") == 1234.5);
  }
  std::setlocale(LC_ALL, before.c_str());
}

}  // namespace
}  // namespace drydepth
