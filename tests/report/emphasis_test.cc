#include "report/emphasis.h"

#include <catch2/catch.hpp>

using namespace drydepth;

namespace {

const std::string kOn = "\x1b[1m", kOff = "\x1b[0m";

std::string bold(const std::string& words) { return kOn + words + kOff; }

}  // namespace

TEST_CASE("headings and verdicts are bold, and nothing else changes") {
  struct Row {
    const char* what;
    std::string plain, shown;
  };
  const Row rows[] = {
      {"nothing", "", ""},
      {"a heading", "Job      housing.gcode\n", bold("Job") + "      housing.gcode\n"},
      {"the longest heading fills its column", "Exposure 3 h\n",
       bold("Exposure") + " 3 h\n"},
      {"a sentence is no heading", "Estimates are no measurements\n",
       "Estimates are no measurements\n"},
      {"a table's first word", "Feed          verdict\n",
       bold("Feed") + "          verdict\n"},
      {"an indented line", "         T0  186 g\n", "         T0  186 g\n"},
      {"a verdict", "* open  will-cross   100 %\n",
       "* open  " + bold("will-cross") + "   100 %\n"},
      {"two of them, at both ends", "stays-dry or may-cross",
       bold("stays-dry") + " or " + bold("may-cross")},
      {"part of another word", "cannot-tell-it.gcode, my-will-cross\n",
       "cannot-tell-it.gcode, my-will-cross\n"},
      {"a verdict in a sentence", "so: cannot-tell.\n",
       "so: " + bold("cannot-tell") + ".\n"},
      {"several lines, no end", "Edits    none\n\nAdvice   x",
       bold("Edits") + "    none\n\n" + bold("Advice") + "   x"},
  };
  for (const Row& row : rows) {
    INFO(row.what);
    CHECK(emphasised(row.plain) == row.shown);
  }
}

TEST_CASE("a table has its first line in bold") {
  CHECK(emphasised_table("spool  left g\nK-07  978\n") ==
        bold("spool  left g") + "\nK-07  978\n");
  CHECK(emphasised_table("no spools") == "no spools");
}
