#include "gcode/edit/respell.h"

#include <catch2/catch.hpp>

using namespace drydepth;

TEST_CASE("a shifted number keeps its spelling") {
  struct Row {
    const char* number;
    std::int64_t thousandths;
    const char* expected;
  };
  const Row rows[] = {
      {"-2", -200, "-2.2"},
      {"-.8", -80, "-.88"},
      {"-0.8", -80, "-0.88"},
      {"0.80000", 80, "0.88000"},
      {".8", 80, ".88"},
      {"+1.5", 100, "+1.6"},
      {"2", 200, "2.2"},
      {"30.01469", -200, "29.81469"},
      {"0", -200, "-0.2"},
      {"0.0000", -75, "-0.0750"},
      {"-0.05", 50, "0.00"},
      {"1", -1000, "0"},
      {".05", -100, "-.05"},
      {"999.9999999", 1, "1000.0009999"},  // exact, where a double would round
      {"0.1", 5, "0.105"},
  };
  for (const Row& row : rows) {
    INFO(row.number << " " << row.thousandths);
    CHECK(shifted_number(row.number, row.thousandths).value_or("none") == row.expected);
  }
}

TEST_CASE("what is no plain number is not shifted") {
  for (const char* text : {"", "-", ".", "1.", "1e5", "1 2", "--1", "0x1", "1.2.3",
                           "1234567890.123456", "{1}"}) {
    INFO(text);
    CHECK_FALSE(shifted_number(text, 100));
  }
}

TEST_CASE("a word's number is found in a line of plain words") {
  struct Row {
    const char* line;
    const char* number;
  };
  const Row rows[] = {
      {"G1 E-2 F2400", "-2"}, {"G1 F1500 E6.5", "6.5"},
      {"G1E-.8F2100", "-.8"}, {"G92 E0", "0"},
      {"G1 E 4.5", "4.5"},    {"G1 X1 ; E5", ""},
      {"G1 X1", ""},          {"G1 E", ""},
  };
  for (const Row& row : rows) {
    INFO(row.line);
    const NumberSpan span = find_number(row.line, 'E');
    CHECK(std::string_view(row.line).substr(span.size ? span.at : 0, span.size) ==
          row.number);
  }
}
