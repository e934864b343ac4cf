#include "gcode/machine/plain_line.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

using namespace drydepth;

namespace {

// Lines at the end of a buffer, and those at its beginning, are left to parse_line.
const std::string kBefore = "; before\n";
const std::string kBehind(200, 'G');

/// What parse_line makes of each line that the reader takes for plain; their number.
int plain_lines(const std::string& job) {
  PlainLineReader reader;
  reader.begin_buffer(job);
  int plain = 0;
  for (std::size_t at = 0, end = 0; at < job.size(); at = end + 1) {
    end = std::min(job.find('\n', at), job.size());
    const std::size_t length = reader.read(std::string_view(job).substr(at));
    if (length == 0) continue;
    ++plain;
    std::string line = job.substr(at, end - at);
    CAPTURE(line);
    REQUIRE(length == line.size());
    if (line.ends_with('\r')) line.pop_back();
    Command expected;
    parse_line(line, expected);
    const Command& c = reader.command();
    CHECK(c.letter == expected.letter);
    CHECK(c.number == expected.number);
    REQUIRE(c.numbers() == expected.numbers());
    for (char word = 'A'; word <= 'Z'; ++word) {
      CHECK(c.mentions(word) == expected.mentions(word));
      if (!c.has(word)) continue;
      CHECK(c.value(word) == expected.value(word));
      CHECK(std::signbit(c.value(word)) == std::signbit(expected.value(word)));
    }
    const bool rest = c.has_minor || c.lower_case || c.indented || !c.name.empty() ||
                      !c.comment.empty();
    CHECK_FALSE(rest);
  }
  return plain;
}

int plain_lines_within(const std::string& line) {
  return plain_lines(kBefore + line + kBehind);
}

}  // namespace

TEST_CASE("plain moves are taken apart, others left alone") {
  struct Row {
    const char* line;
    int plain;
  };
  const Row rows[] = {
      {"G1 X10 Y-2.5 E.25\n", 1},
      {"G0 F7800\n", 1},
      {"G3 X1.5 Y2 I-0.125 J.5 E3\n", 1},
      {"G1 X1\r\nG1 X2\r\n", 2},
      {"G1 X1 X2\n", 1},
      {"G1 X-0 Y-.0 Z0.\n", 1},
      {"G1 X1234567.12345678\n", 1},
      {"G1\n", 1},
      {"G1 \n", 0},
      {"G1 X1 \n", 0},
      {"G1  X1\n", 0},
      {"G1 X\n", 0},
      {"G1 X.\n", 0},
      {"G1 X-\n", 0},
      {"G1 X--1\n", 0},
      {"G1 X+1\n", 0},
      {"G1 X1.2.3\n", 0},
      {"G1 X12345678\n", 0},
      {"G1 X0.123456789\n", 0},
      {"G1 X1e3\n", 0},
      {"G1 X1Y2\n", 0},
      {"G1 x1\n", 0},
      {"g1 X1\n", 0},
      {"G1 X1 ;hop\n", 0},
      {"G1 X1;hop\n", 0},
      {"G1 X1\rG1 Y1\n", 0},
      {"G1 X1\r\rG1 Y1\n", 0},
      {"G1 X\xC3\xA4\n", 0},
      {"G1 X1\xB3\n", 0},
      {"G1 X1:2\n", 0},
      {"G1 X1/2\n", 0},
      {"G1.1 X1\n", 0},
      {"G10 X1\n", 0},
      {"G4 P1\n", 0},
      {"G5 X1\n", 0},
      {" G1 X1\n", 0},
      {"\nG1 X1 Q\n\nG1 X1\n", 1},
      {"", 0},
  };
  for (const Row& row : rows) {
    INFO(row.line);
    CHECK(plain_lines_within(row.line) == row.plain);
  }
}

TEST_CASE("nothing is read before or behind a buffer") {
  // A buffer of its own, so that a sanitizer sees each byte too many.
  const std::string lines = "G1 X1.25 Y-3 E0.5\nG1 X2\nG1 Y1.12345678\n";
  std::string job;
  for (int i = 0; i < 12; ++i) job += lines;
  for (std::size_t size = 0; size <= job.size(); ++size) {
    const std::vector<char> bytes(job.begin(), job.begin() + static_cast<long>(size));
    CHECK(plain_lines(std::string(bytes.begin(), bytes.end())) <= 36);
  }
}

TEST_CASE("a plain decimal is the double nearest to it, as the C library reads it") {
  std::mt19937_64 random(20260306);
  constexpr int kCount = 2'000'000;
  std::string job = kBefore;
  std::vector<std::string> written;
  for (int i = 0; i < kCount; ++i) {
    const auto digits = [&](std::uint64_t most) {
      const std::uint64_t count = random() % (most + 1);
      std::string out;
      for (std::uint64_t k = 0; k < count; ++k)
        out += static_cast<char>('0' + random() % 10);
      return out;
    };
    std::string decimal = digits(7);
    if (random() % 4 != 0 || decimal.empty()) decimal += "." + digits(8);
    if (decimal == ".") decimal = "0";
    if (random() % 3 == 0) decimal.insert(0, "-");
    job += "G1 X" + decimal + "\n";
    written.push_back(std::move(decimal));
  }
  job += kBehind;
  PlainLineReader reader;
  reader.begin_buffer(job);
  std::string_view rest = std::string_view(job).substr(kBefore.size());
  int wrong = 0;
  for (const std::string& decimal : written) {
    const std::size_t length = reader.read(rest);
    if (length != decimal.size() + 4) FAIL(decimal);
    wrong += reader.command().value('X') != std::strtod(decimal.c_str(), nullptr);
    rest.remove_prefix(length + 1);
  }
  CHECK(wrong == 0);
}

TEST_CASE("any change of a plain line is read alike or not at all") {
  std::mt19937_64 random(7);
  const std::string bytes = "G1 XYEF.-+0123456789;()\"\n\r\t\x80xe";
  int plain = 0;
  for (int i = 0; i < 200'000; ++i) {
    std::string line = "G1 X76.031 Y-56.814 E48.03594\n";
    for (std::uint64_t k = random() % 4; k > 0; --k) {
      line[random() % line.size()] = bytes[random() % bytes.size()];
    }
    plain += plain_lines_within(line);
  }
  CHECK(plain > 50'000);
}
