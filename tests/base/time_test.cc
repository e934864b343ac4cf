#include "base/time.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>

namespace drydepth {
namespace {

Instant utc(const std::string& text) {
  const Result<Instant> at = parse_instant(text);
  REQUIRE(at.has_value());
  return *at;
}

// Central European Time by the rule of the European Union's directive 2000/84/EC: last
// Sundays of March and October, 01:00 UTC. In 2026 these are 29 March and 25 October.
LocalZone central_europe() {
  return {[](Instant at) {
    const bool summer =
        at >= utc("2026-03-29T01:00:00Z") && at < utc("2026-10-25T01:00:00Z");
    return Seconds(summer ? 7200 : 3600);
  }};
}

TEST_CASE("moments with a zone") {
  struct Row {
    std::string text;
    std::string canonical;
  };
  const Row rows[] = {
      {"2026-03-02T08:00:00Z", "2026-03-02T08:00:00Z"},
      {"2026-03-02T08:00Z", "2026-03-02T08:00:00Z"},
      {"2026-03-02 08:00:00.999Z", "2026-03-02T08:00:00Z"},
      {"2026-03-02T09:00:00+01:00", "2026-03-02T08:00:00Z"},
      {"2026-03-01T23:30:00-0830", "2026-03-02T08:00:00Z"},
      {"2024-02-29T00:00:00Z", "2024-02-29T00:00:00Z"},
      {"1969-12-31T23:59:59Z", "1969-12-31T23:59:59Z"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    CHECK(format_instant(utc(row.text)) == row.canonical);
  }
  CHECK(utc("1970-01-02T00:00:00Z").time_since_epoch() == Seconds(86400));
}

TEST_CASE("what is no moment") {
  struct Row {
    std::string text;
    std::string error;
  };
  const std::string hint = "; write e.g. 2026-03-02T08:00:00Z";
  const Row rows[] = {
      {"yesterday", "expected a moment in UTC, got \"yesterday\"" + hint},
      {"2026-03-02", "expected a moment in UTC, got \"2026-03-02\"" + hint},
      {"2026-03-02T08:00:00Zulu",
       "expected a moment in UTC, got \"2026-03-02T08:00:00Zulu\"" + hint},
      {"2026-03-02T08:00:00+99:00",
       "expected a moment in UTC, got \"2026-03-02T08:00:00+99:00\"" + hint},
      {"2025-02-29T00:00Z",
       "\"2025-02-29T00:00Z\" is not on the calendar or the clock" + hint},
      {"2026-03-02T24:00Z",
       "\"2026-03-02T24:00Z\" is not on the calendar or the clock" + hint},
      {"2026-03-02T08:00:00",
       "\"2026-03-02T08:00:00\" does not say its time zone; end it with Z for UTC or "
       "with an offset such as +01:00"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const Result<Instant> at = parse_instant(row.text);
    REQUIRE_FALSE(at.has_value());
    CHECK(at.error().text() == row.error);
  }
}

TEST_CASE("local times over a clock change") {
  struct Row {
    CivilTime local;
    std::string utc_or_error;
  };
  const Row rows[] = {
      {{2026, 3, 2, 9, 0, 0}, "2026-03-02T08:00:00Z"},
      {{2026, 7, 1, 9, 0, 0}, "2026-07-01T07:00:00Z"},
      {{2026, 3, 29, 1, 59, 59}, "2026-03-29T00:59:59Z"},
      {{2026, 3, 29, 2, 30, 0},
       "02:30 does not exist on 2026-03-29, when the clocks go forward; give the hour "
       "before or after"},
      {{2026, 3, 29, 3, 0, 0}, "2026-03-29T01:00:00Z"},
      {{2026, 10, 25, 1, 59, 59}, "2026-10-24T23:59:59Z"},
      {{2026, 10, 25, 2, 30, 0},
       "02:30 comes twice on 2026-10-25, when the clocks go back; give it in UTC, e.g. "
       "2026-10-25T00:30:00Z for the first"},
      {{2026, 10, 25, 3, 0, 0}, "2026-10-25T02:00:00Z"},
  };
  for (const Row& row : rows) {
    INFO(row.utc_or_error);
    const Result<Instant> at = from_local(row.local, central_europe());
    CHECK((at ? format_instant(*at) : at.error().text()) == row.utc_or_error);
    if (at) CHECK(to_local(*at, central_europe()) == row.local);
  }
  CHECK(format_local(utc("2026-07-01T07:05:00Z"), central_europe()) ==
        "2026-07-01 09:05");
}

// The same dates through the system's own zone data, as a POSIX rule so that the test
// needs no zone files.
TEST_CASE("the environment's zone") {
  const char* before = std::getenv("TZ");
  const std::string kept = before == nullptr ? "" : before;
  setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3", 1);
  const LocalZone zone = system_zone();
  for (const char* text : {"2026-03-29T00:59:59Z", "2026-03-29T01:00:00Z",
                           "2026-10-25T00:59:59Z", "2026-10-25T01:00:00Z"}) {
    INFO(text);
    CHECK(zone.offset_at(utc(text)) == central_europe().offset_at(utc(text)));
  }
  before == nullptr ? unsetenv("TZ") : setenv("TZ", kept.c_str(), 1);
}

TEST_CASE("times as typed") {
  struct Row {
    std::string text;
    bool has_date;
    CivilTime time;
  };
  const Row rows[] = {
      {"22:00", false, {1970, 1, 1, 22, 0, 0}},
      {"9:05", false, {1970, 1, 1, 9, 5, 0}},
      {"09:05:30", false, {1970, 1, 1, 9, 5, 30}},
      {"2026-03-02", true, {2026, 3, 2, 0, 0, 0}},
      {"2026-03-02 21:30", true, {2026, 3, 2, 21, 30, 0}},
      {"2026-03-02T21:30", true, {2026, 3, 2, 21, 30, 0}},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const Result<DateAndTime> parsed = parse_civil(row.text);
    REQUIRE(parsed.has_value());
    CHECK(parsed->has_date == row.has_date);
    CHECK(parsed->time == row.time);
  }
  for (const std::string text :
       {"10", "10h", "22:0", "22:00x", "02.03.2026", "2026-3-2"}) {
    INFO(text);
    const Result<DateAndTime> parsed = parse_civil(text);
    REQUIRE_FALSE(parsed.has_value());
    CHECK(parsed.error().text() == "expected a time, got \"" + text +
                                       "\"; write e.g. 22:00 or \"2026-03-02 22:00\"");
  }
  CHECK(parse_civil("25:00").error().text() ==
        "\"25:00\" is not on the calendar or the clock; write e.g. 22:00 or "
        "\"2026-03-02 22:00\"");
}

}  // namespace
}  // namespace drydepth
