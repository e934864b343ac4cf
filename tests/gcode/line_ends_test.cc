#include "gcode/edit/line_ends.h"

#include <catch2/catch.hpp>

using namespace drydepth;

namespace {

std::string converted(const std::string& text, LineEnds ends, std::size_t piece) {
  std::string out;
  REQUIRE(with_line_ends(memory_source("job", text, piece), ends)
              .read([&](std::string_view bytes) {
                out += bytes;
                return true;
              }));
  return out;
}

}  // namespace

TEST_CASE("line ends are spelled anew, other bytes pass") {
  struct Row {
    std::string text, lf, crlf;
  };
  const Row rows[] = {
      {"a\nb\r\nc", "a\nb\nc", "a\r\nb\r\nc"},
      {"a\rb\n", "a\rb\n", "a\rb\r\n"},
      {"a\r\r\n", "a\r\n", "a\r\r\n"},
      {"\n\r\n\r", "\n\n\r", "\r\n\r\n\r"},
      {"", "", ""},
  };
  for (const Row& row : rows) {
    for (const std::size_t piece : {1u, 2u, 100u}) {
      INFO(row.lf << " in pieces of " << piece);
      CHECK(converted(row.text, LineEnds::kLf, piece) == row.lf);
      CHECK(converted(row.text, LineEnds::kCrLf, piece) == row.crlf);
    }
  }
}

TEST_CASE("a job that differs in its line ends only is told from another one") {
  const auto digest = [](const std::string& text) {
    return *digest_job(memory_source("job", text));
  };
  const auto only_ends = [&](const std::string& now, const std::string& then) {
    return *differs_in_line_ends_only(memory_source("job", now), digest(then));
  };
  CHECK(only_ends("G1\r\nG2\r\n", "G1\nG2\n"));
  CHECK(only_ends("G1\nG2\n", "G1\r\nG2\r\n"));
  CHECK_FALSE(only_ends("G1\nG3\n", "G1\nG2\n"));
  CHECK_FALSE(only_ends("G1\nG2\n", "G1\nG2\r\n"));  // mixed: nothing spells it so
}
