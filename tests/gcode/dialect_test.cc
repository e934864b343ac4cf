#include "gcode/machine/dialect.h"

#include <catch2/catch.hpp>

#include "gcode/job.h"

using namespace drydepth;

TEST_CASE("messages hold only what every firmware shows as text") {
  Dialect d;
  d.message = MessageForm{"M117 ", "", 20};
  const struct {
    const char* text;
    const char* line;  // "" for none
  } rows[] = {
      {"wet from 84 m on", "M117 wet from 84 m on"},
      {"Moisture 0.5 % at 20 m", "M117 moisture 0.5 % at 20"},
      {"G1 X5; M104 S0", "M117 g1 x5 m104 s0"},
      {"12.5 m left", "M117 m left"},
      {"(a) \"b\" #c*d:e", "M117 a b cde"},
      {"\xc3\xbc", ""},
      {"42", ""},
  };
  for (const auto& row : rows) {
    INFO(row.text);
    CHECK(display_message(d, row.text).value_or("") == row.line);
  }
  d.message = MessageForm{"M70 P5 (", ")", 8};
  CHECK(display_message(d, "wet soon now") == "M70 P5 (wet soon)");
  d.message.reset();
  CHECK_FALSE(display_message(d, "wet"));
}

TEST_CASE("the user's own pause is taken unless it is the stock one") {
  const auto all = test::dialects();
  const Dialect& klipper = *find_dialect(all, "klipper");
  const Dialect& prusa = *find_dialect(all, "prusa");
  const Dialect& marlin = *find_dialect(all, "marlin");
  const struct {
    const char* label;
    const Dialect& dialect;
    const char* own;
    const char* pause;
  } rows[] = {
      {"none stated", klipper, "", "PAUSE"},
      {"none stated, none certain", marlin, "", ""},
      {"own", marlin, "M125", "M125"},
      {"own with a comment", marlin, "M25 ; pause print", "M25"},
      {"stock where it pauses", prusa, "M601", "M601"},
      {"stock where it does not", klipper, "M601", "PAUSE"},
      {"stock where nothing is certain", marlin, "M601", ""},
      {"macro of several lines", marlin, "G91\\nG1 Z5\\nM0", ""},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(pause_command(row.dialect, row.own) == row.pause);
  }
}

TEST_CASE("the heaviest sign decides, and without one it is a guess") {
  const auto all = test::dialects();
  Facts facts;
  CHECK(choose_dialect(all, facts).dialect->id == "unknown");
  CHECK(choose_dialect(all, facts).source ==
        "a guess, since nothing in the job names a firmware");
  facts["gcode_flavor"] = {"marlin", "here"};
  CHECK(choose_dialect(all, facts).dialect->id == "marlin");
  facts["printer_model"] = {"MK3S", "there"};
  CHECK(choose_dialect(all, facts).dialect->id == "prusa");
  CHECK(choose_dialect(all, facts).source == "there");
}
