#include <catch2/catch.hpp>
#include <random>

#include "gcode/job.h"

using namespace drydepth;

namespace {

const char* const kJob = "; a\nM83\nG1 X1 E5 F60\n;LAYER_CHANGE\nG1 X2 E7\n";

std::string with_ends(const std::string& job, const std::string& even,
                      const std::string& odd) {
  std::string out;
  int line = 0;
  for (const char c : job) {
    out += c == '\n' ? (line++ % 2 == 0 ? even : odd) : std::string(1, c);
  }
  return out;
}

}  // namespace

TEST_CASE("line ends and foreign bytes do not change what a job takes") {
  const std::string job = kJob;
  const struct {
    const char* label;
    std::string job;
    std::uint64_t lines;
  } rows[] = {
      {"LF", job, 5},
      {"CR LF", with_ends(job, "\r\n", "\r\n"), 5},
      {"mixed", with_ends(job, "\r\n", "\n"), 5},
      {"no last line end", job.substr(0, job.size() - 1), 5},
      {"NUL bytes", job + std::string("\0\0\n; \0 x\n", 9), 7},
      {"not UTF-8", job + "; caf\xe9 \xff\xfe\n", 6},
      {"a line of 2 MB", job + ";" + std::string(2'000'000, 'x') + "\n", 6},
      {"a line of 2 MB of words", job + "M105 " + std::string(2'000'000, 'X') + "\n",
       6},
      {"an open quote", job + "M486 A\"oops\n", 6},
      {"an open brace", job + "G1 X{a Y2\n", 6},
      {"control characters", job + "\x01\x02\x7f\n", 6},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    for (const std::size_t piece : {std::size_t{1}, std::size_t{7}, kFilePieceBytes}) {
      if (piece == 1 && row.job.size() > 1'000'000) continue;
      const auto trace = scan(memory_source("job", row.job, piece), test::options());
      REQUIRE(trace);
      CHECK(trace->tools.front().length_mm == 12);
      CHECK(trace->layers.size() == 1);
      CHECK(trace->lines == row.lines);
      CHECK(trace->bytes == row.job.size());
    }
  }
}

TEST_CASE("a long line is read by its first part, and counted whole") {
  const std::string job =
      "M83\nG1 X1 E5 F60 ;" + std::string(3'000'000, 'x') + " E9\nG1 X2 E7\n";
  const auto trace = test::scan_text(job, test::options());
  REQUIRE(trace);
  CHECK(trace->tools.front().length_mm == 12);
  CHECK(trace->bytes == job.size());
}

// Whatever the bytes, a scan ends, with a Trace that keeps its promises or an Error.
TEST_CASE("garbage is survived") {
  std::mt19937 random(11);
  const std::string alphabet = "GMTXYZEFIJRSDPN0123456789.-+;() {}\"\n\r *:=\\gme\xff";
  int traces = 0;
  for (int i = 0; i < 3000; ++i) {
    std::string job = "M83\nG1 X1 E1 F60\n";
    for (auto n = random() % 400; n > 0; --n) {
      job += alphabet[random() % alphabet.size()];
    }
    const auto trace = test::scan_text(job, test::options());
    if (!trace) continue;
    ++traces;
    INFO(job);
    REQUIRE(trace->bytes == job.size());
    for (const ToolTrace& tool : trace->tools) {
      REQUIRE(tool.points.size() >= 2);
      REQUIRE(tool.points.back().length_mm == tool.length_mm);
      for (std::size_t k = 1; k < tool.points.size(); ++k) {
        REQUIRE(tool.points[k].length_mm > tool.points[k - 1].length_mm);
        REQUIRE(tool.points[k].time_s >= tool.points[k - 1].time_s);
      }
    }
  }
  CHECK(traces > 2000);
}
