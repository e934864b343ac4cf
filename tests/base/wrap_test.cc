#include "base/wrap.h"

#include <catch2/catch.hpp>

using namespace drydepth;

TEST_CASE("narrow lines: broken at blanks, and within a long word") {
  using Lines = std::vector<std::string>;
  struct Row {
    const char* text;
    std::size_t columns;
    Lines lines;
  };
  const std::vector<Row> rows = {
      {"one two three", 7, {"one two", "three"}},
      {"12 g left", 4, {"12 g", "left"}},
      {"abcdefgh", 3, {"abc", "def", "gh"}},
      {"x abcdefgh y", 4, {"x", "abcd", "efgh", "y"}},
      {"a\tb\nc", 5, {"a b c"}},
      {"\xC3\xA9\xC3\xA9\xC3\xA9", 2, {"\xC3\xA9\xC3\xA9", "\xC3\xA9"}},
      {"\xE6\x97\xA5\xE6\x9C\xAC", 3, {"\xE6\x97\xA5", "\xE6\x9C\xAC"}},
      {"\xFF\xFF\xFF", 2, {"\xFF\xFF", "\xFF"}}};
  for (const Row& row : rows) {
    INFO(row.text);
    CHECK(narrow_lines(row.text, row.columns) == row.lines);
  }
}

TEST_CASE("narrow lines: columns") {
  CHECK(columns_of("") == 0);
  CHECK(columns_of("ab") == 2);
  CHECK(columns_of("\xC3\xA9") == 1);
  CHECK(columns_of("\xE6\x97\xA5") == 2);
  CHECK(columns_of("\xF0\x9F\x98\x80") == 2);
}
