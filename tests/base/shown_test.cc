#include "base/shown.h"

#include <catch2/catch.hpp>

#include "base/result.h"

namespace drydepth {

TEST_CASE("control characters of others are spelled out") {
  const struct {
    const char* label;
    std::string text, line, whole;
  } rows[] = {
      {"plain", "K-07, 5 %", "K-07, 5 %", "K-07, 5 %"},
      {"empty", "", "", ""},
      {"letters and pictures", "\xC3\xA9\xE2\x82\xAC\xF0\x9F\x98\x80",
       "\xC3\xA9\xE2\x82\xAC\xF0\x9F\x98\x80", "\xC3\xA9\xE2\x82\xAC\xF0\x9F\x98\x80"},
      {"escape sequence", "a\x1b[31mb", "a\\u001b[31mb", "a\\u001b[31mb"},
      {"bell and delete", "\a\x7f", "\\u0007\\u007f", "\\u0007\\u007f"},
      {"nothing", std::string("a\0b", 3), "a\\u0000b", "a\\u0000b"},
      {"line ends", "a\nb\r\nc", "a\\nb\\r\\nc", "a\nb\r\nc"},
      {"a carriage return alone", "safe\rwet", "safe\\rwet", "safe\\rwet"},
      {"tab", "a\tb", "a\\tb", "a\tb"},
      {"C1: CSI in UTF-8",
       "a\xC2\x9B"
       "31m",
       "a\\u009b31m", "a\\u009b31m"},
      {"C1 as a byte",
       "a\x9B"
       "31m",
       "a\\x9b31m", "a\\x9b31m"},
      {"cut off", "a\xE2\x82", "a\\xe2\\x82", "a\\xe2\\x82"},
      {"right-to-left override",
       "a\xE2\x80\xAE"
       "b",
       "a\\u202eb", "a\\u202eb"},
      {"line separator",
       "a\xE2\x80\xA8"
       "b",
       "a\\u2028b", "a\\u2028b"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(shown(row.text) == row.line);
    CHECK(shown_text(row.text) == row.whole);
    CHECK(shown(row.line) == row.line);  // twice is once
  }
}

TEST_CASE("an error is one line whatever it names") {
  CHECK(Error{"a\x1b[2J\n.gcode", "is \"x\ty\"", "mend it\r"}.text() ==
        "a\\u001b[2J\\n.gcode: is \"x\\ty\"; mend it\\r");
}

}  // namespace drydepth
