#include "record/typed/quantity.h"

#include <catch2/catch.hpp>
#include <functional>
#include <string>

#include "record/record_text.h"

namespace drydepth {
namespace {

TEST_CASE("quantities with their units") {
  struct Row {
    std::string text;
    Result<double> (*parse)(std::string_view);
    double value;
  };
  const Row rows[] = {
      {"82C", parse_temperature_k, 355.15},
      {"82\xC2\xB0"
       "C",
       parse_temperature_k, 355.15},
      {"-5c", parse_temperature_k, 268.15},
      {"180F", parse_temperature_k, 355.372222222},  // (180 + 459.67)/1.8
      {"355.15K", parse_temperature_k, 355.15},
      {"45%", parse_activity, 0.45},
      {"45rh", parse_activity, 0.45},
      {"45%RH", parse_activity, 0.45},
      {"0%", parse_activity, 0},
      {"1211.4g", parse_mass_kg, 1.2114},
      {"1.2kg", parse_mass_kg, 1.2},
      {"42.7oz", parse_mass_kg,
       1.21052463740},  // 28.349523125 g, yard and pound of 1959
      {"2lb", parse_mass_kg, 0.90718474},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const Result<double> value = row.parse(row.text);
    REQUIRE(value.has_value());
    CHECK(*value == Approx(row.value).epsilon(1e-9).margin(1e-12));
  }
}

TEST_CASE("what is no quantity") {
  struct Row {
    std::string text;
    Result<double> (*parse)(std::string_view);
    std::string error;
  };
  const Row rows[] = {
      {"82", parse_temperature_k,
       "the temperature \"82\" has no unit; put C or F behind the number"},
      {"45", parse_activity,
       "the humidity \"45\" has no unit; put % for percent behind the number"},
      {"1211.4", parse_mass_kg,
       "the mass \"1211.4\" has no unit; put g, kg, oz or lb behind the number"},
      {"82g", parse_temperature_k,
       "expected a temperature, got \"82g\"; write e.g. 82C"},
      {"hot", parse_temperature_k,
       "expected a temperature, got \"hot\"; write e.g. 82C"},
      {"820C", parse_temperature_k,
       "\"820C\" is not a temperature of air around a spool; write one from -40C to "
       "200C"},
      {"145%", parse_activity,
       "\"145%\" is not a relative humidity; write one from 0% to 100%"},
      {"1211,4g", parse_mass_kg,
       "expected a mass, got \"1211,4g\"; decimals stand behind a point: 1211.4g"},
      {"1,211,4g", parse_mass_kg,
       "expected a mass, got \"1,211,4g\"; write e.g. 1211.4g"},
      {"0g", parse_mass_kg, "\"0g\" is not a mass above 0; write e.g. 1211.4g"},
      {"-3g", parse_mass_kg, "\"-3g\" is not a mass above 0; write e.g. 1211.4g"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const Result<double> value = row.parse(row.text);
    REQUIRE_FALSE(value.has_value());
    CHECK(value.error().text() == row.error);
  }
}

TEST_CASE("durations") {
  struct Row {
    std::string text;
    int seconds;
  };
  const Row rows[] = {{"10h", 36000},    {"90min", 5400}, {"1.5h", 5400},
                      {"1h30min", 5400}, {"2d", 172800},  {"45s", 45},
                      {"1h30m", 5400}};
  for (const Row& row : rows) {
    INFO(row.text);
    const Result<Seconds> duration = parse_duration(row.text);
    REQUIRE(duration.has_value());
    CHECK(duration->count() == row.seconds);
  }
  CHECK(parse_duration("10").error().text() ==
        "the duration \"10\" has no unit; put h or min behind the number");
  for (const std::string text : {"", "h", "10x", "0h", "-1h", "10m", "1e9d"}) {
    INFO(text);
    const Result<Seconds> duration = parse_duration(text);
    REQUIRE_FALSE(duration.has_value());
    CHECK(duration.error().text() == "expected a duration, got \"" + text +
                                         "\"; write e.g. 10h, 90min or 1h30min");
  }
}

TEST_CASE("air") {
  const Result<StatedAir> air = parse_air("23C/45%");
  REQUIRE(air.has_value());
  CHECK(air->temperature_k == Approx(296.15));
  CHECK(air->activity == Approx(0.45));
  CHECK(parse_air("23C").error().text() ==
        "expected temperature and humidity, got \"23C\"; write e.g. 23C/45%");
  CHECK(parse_air("23/45%").error().text() ==
        "the temperature \"23\" has no unit; put C or F behind the number");
  CHECK(parse_air("23C/45").error().text() ==
        "the humidity \"45\" has no unit; put % for percent behind the number");
}

// Clock changes of the European Union in 2026: 29 March and 25 October, 01:00 UTC
// (directive 2000/84/EC).
LocalZone central_europe() {
  return {[](Instant at) {
    const bool summer =
        at >= utc("2026-03-29T01:00:00Z") && at < utc("2026-10-25T01:00:00Z");
    return Seconds(summer ? 7200 : 3600);
  }};
}

TEST_CASE("moments as typed in Central Europe") {
  struct Row {
    std::string text;
    std::string now;
    Lean lean;
    std::string moment_or_error;
  };
  const std::string march = "2026-03-02T20:30:00Z";  // 21:30 on the wall
  const Row rows[] = {
      {"now", march, Lean::kPast, march},
      {"21:30", march, Lean::kPast, march},
      {"21:30", march, Lean::kAhead, "2026-03-03T20:30:00Z"},
      {"22:00", march, Lean::kPast, "2026-03-01T21:00:00Z"},
      {"22:00", march, Lean::kAhead, "2026-03-02T21:00:00Z"},
      {"00:10", march, Lean::kPast, "2026-03-01T23:10:00Z"},
      {"yesterday 22:00", march, Lean::kPast, "2026-03-01T21:00:00Z"},
      {"today 08:00", march, Lean::kAhead, "2026-03-02T07:00:00Z"},
      {"tomorrow 08:00", march, Lean::kPast, "2026-03-03T07:00:00Z"},
      {"2026-03-02 08:00", march, Lean::kPast, "2026-03-02T07:00:00Z"},
      {"2026-07-01 08:00", march, Lean::kPast, "2026-07-01T06:00:00Z"},
      {"2026-03-02", march, Lean::kPast, "2026-03-01T23:00:00Z"},
      {"2026-03-02T08:00:00Z", march, Lean::kPast, "2026-03-02T08:00:00Z"},
      {"2026-03-02T08:00:00+05:30", march, Lean::kPast, "2026-03-02T02:30:00Z"},
      // Ten hours lie between 22:00 and 09:00 in the night the clocks go forward.
      {"22:00", "2026-03-29T07:00:00Z", Lean::kPast, "2026-03-28T21:00:00Z"},
      {"tomorrow 02:30", "2026-03-28T12:00:00Z", Lean::kAhead,
       "02:30 does not exist on 2026-03-29, when the clocks go forward; give the hour "
       "before or after"},
      {"02:30", "2026-10-25T09:00:00Z", Lean::kPast,
       "02:30 comes twice on 2026-10-25, when the clocks go back; give it in UTC, e.g. "
       "2026-10-25T00:30:00Z for the first"},
      {"soon", march, Lean::kPast,
       "expected a time, got \"soon\"; write e.g. 22:00 or \"2026-03-02 22:00\""},
      {"22", march, Lean::kPast,
       "expected a time, got \"22\"; write e.g. 22:00 or \"2026-03-02 22:00\""},
      {"2026-03-02T08:00:00Q", march, Lean::kPast,
       "expected a time, got \"2026-03-02T08:00:00Q\"; write e.g. 22:00 or "
       "\"2026-03-02 "
       "22:00\""},
  };
  for (const Row& row : rows) {
    INFO(row.text << " seen from " << row.now);
    const Result<Instant> at =
        parse_moment(row.text, utc(row.now), central_europe(), row.lean);
    CHECK((at ? format_instant(*at) : at.error().text()) == row.moment_or_error);
  }
}

}  // namespace
}  // namespace drydepth
