#include "spool/timeline.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "base/numbers.h"
#include "record/record_text.h"

namespace drydepth {
namespace {

constexpr StatedAir kRoom{.temperature_k = 294.15, .activity = 0.5};

Timeline lay_out(const std::string& text, const std::string& at) {
  Result<Timeline> timeline = make_timeline(read(text), utc(at), kRoom);
  if (!timeline) FAIL(timeline.error().text());
  return *std::move(timeline);
}

// A timeline as text, one span a line: day and time, kind, grams, what was assumed.
std::string shown(const Timeline& timeline) {
  std::string out;
  for (const Span& span : timeline.spans) {
    out += format_instant(span.from).substr(8, 8) + " " +
           format_instant(span.to).substr(8, 8) + " " +
           std::string(kind_name(span.kind));
    if (span.used_kg > 0) out += " " + format_fixed(span.used_kg * 1000, 1) + " g";
    if (span.assumed) out += " assumed";
    if (span.room_assumed) out += " room assumed";
    out += "\n";
  }
  return out;
}

const std::string kDrying =
    R"({"type": "drying", "from": "2026-03-03T22:00:00Z", "air": {"temperature_c": 70}})";
const std::string kPrint =
    R"({"type": "print", "from": "2026-03-04T06:00:00Z", "to": "2026-03-04T12:00:00Z",
        "used_g": 120, "air": {"temperature_c": 23, "rh_percent": 45}})";

TEST_CASE("spans up to a moment") {
  struct Row {
    std::string label;
    std::string text;
    std::string at;
    std::string spans;
  };
  const Row rows[] = {
      {"no events", record_text(""), "2026-03-03T08:00:00Z",
       "02T08:00 03T08:00 storage assumed\n"},
      {"asked at the opening", record_text(""), "2026-03-02T08:00:00Z", ""},
      {"gaps before, between and behind", k07_text(), "2026-03-04T13:00:00Z",
       "02T08:00 03T08:00 storage\n"
       "03T08:00 03T10:00 storage assumed\n"
       "03T10:00 03T22:00 drying\n"
       "03T22:00 04T06:00 storage assumed\n"
       "04T06:00 04T12:00 print 120.0 g\n"
       "04T12:00 04T13:00 storage assumed\n"},
      {"later events are left out", k07_text(), "2026-03-03T22:00:00Z",
       "02T08:00 03T08:00 storage\n"
       "03T08:00 03T10:00 storage assumed\n"
       "03T10:00 03T22:00 drying\n"},
      {"a running print has its share", k07_text(), "2026-03-04T07:30:00Z",
       "02T08:00 03T08:00 storage\n"
       "03T08:00 03T10:00 storage assumed\n"
       "03T10:00 03T22:00 drying\n"
       "03T22:00 04T06:00 storage assumed\n"
       "04T06:00 04T07:30 print 30.0 g\n"},
      {"open-ended drying for a job that lies ahead", record_text(kDrying),
       "2026-03-04T08:00:00Z",
       "02T08:00 03T22:00 storage assumed\n"
       "03T22:00 04T08:00 drying room assumed\n"},
      {"open-ended drying until the next interval", record_text(kDrying + "," + kPrint),
       "2026-03-04T12:00:00Z",
       "02T08:00 03T22:00 storage assumed\n"
       "03T22:00 04T06:00 drying room assumed\n"
       "04T06:00 04T12:00 print 120.0 g\n"},
      {"a weighing ends nothing",
       record_text(kDrying + R"(, {"type": "weighing", "at": "2026-03-04T01:00:00Z",
                                   "gross_g": 1190})"),
       "2026-03-04T08:00:00Z",
       "02T08:00 03T22:00 storage assumed\n"
       "03T22:00 04T08:00 drying room assumed\n"},
      {"without an opening it begins with the first event",
       record_text(R"({"type": "weighing", "at": "2026-03-03T20:00:00Z",
                       "gross_g": 1190}, )" +
                       kDrying,
                   "{}"),
       "2026-03-03T23:00:00Z",
       "03T20:00 03T22:00 storage assumed\n"
       "03T22:00 03T23:00 drying room assumed\n"},
      {"storage that does not say its air",
       record_text(R"({"type": "storage", "from": "2026-03-02T08:00:00Z"})"),
       "2026-03-02T09:00:00Z", "02T08:00 02T09:00 storage room assumed\n"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const Timeline timeline = lay_out(row.text, row.at);
    CHECK(shown(timeline) == row.spans);
    CHECK(timeline.to == utc(row.at));
    Instant edge = timeline.from;
    for (const Span& span : timeline.spans) {
      CHECK(span.from == edge);
      CHECK(span.to > span.from);
      edge = span.to;
    }
    CHECK(edge == timeline.to);
  }
}

TEST_CASE("air of the spans") {
  const Timeline timeline =
      lay_out(record_text(kDrying + "," + kPrint), "2026-03-04T13:00:00Z");
  REQUIRE(timeline.spans.size() == 4);
  CHECK(timeline.spans[0].air == AirSpec(kRoom));
  const auto& heater = std::get<HeaterAir>(timeline.spans[1].air);
  CHECK(heater.temperature_k == Approx(343.15));
  CHECK(heater.room == kRoom);
  CHECK(std::get<StatedAir>(timeline.spans[2].air).activity == Approx(0.45));
  CHECK(timeline.spans[2].event == 1u);
  CHECK_FALSE(timeline.spans[3].event);
}

TEST_CASE("readings, and which of them are hot") {
  struct Row {
    std::string at;
    bool hot;
  };
  const Row rows[] = {
      {"2026-03-03T10:00:00Z", false},  // goes in
      {"2026-03-03T10:00:01Z", true},  {"2026-03-03T22:00:00Z", true},
      {"2026-03-03T22:59:59Z", true},  {"2026-03-03T23:00:00Z", false},
  };
  for (const Row& row : rows) {
    INFO(row.at);
    const std::string events =
        R"({"type": "drying", "from": "2026-03-03T10:00:00Z", "to": "2026-03-03T22:00:00Z",
            "air": {"temperature_c": 70}}, {"type": "weighing", "at": ")" +
        row.at + R"(", "gross_g": 1190, "scale_sd_g": 0.1})";
    const Timeline timeline = lay_out(record_text(events), "2026-03-05T00:00:00Z");
    REQUIRE(timeline.readings.size() == 1);
    CHECK(timeline.readings[0].hot == row.hot);
    CHECK(timeline.readings[0].gross_kg == Approx(1.190));
    CHECK(timeline.readings[0].scale_sd_kg == Approx(0.0001));
    CHECK(timeline.readings[0].event == 1);
  }
  CHECK(lay_out(k07_text(), "2026-03-03T22:00:00Z").readings.size() == 1);
}

TEST_CASE("a moment before the record") {
  const Result<Timeline> timeline =
      make_timeline(read(k07_text()), utc("2026-03-01T00:00:00Z"), kRoom);
  REQUIRE_FALSE(timeline.has_value());
  CHECK(
      timeline.error().text() ==
      "T.json: the time asked for, 2026-03-01T00:00:00Z, lies before the record begins "
      "at 2026-03-02T08:00:00Z; give a later --at");
}

const std::string kLogged =
    R"({"type": "print", "from": "2026-03-04T06:00:00Z", "to": "2026-03-04T12:00:00Z",
        "used_g": 120, "air": {"log": "d.csv"}})";

SpoolRecord with_log(const std::string& csv) {
  SpoolRecord record = read(record_text(kLogged));
  Result<AirSeries> series =
      read_air_log(csv, "d.csv", AirLog{}, utc("2026-03-04T06:00:00Z"));
  REQUIRE(series.has_value());
  record.air_logs[0] = *std::move(series);
  return record;
}

TEST_CASE("logged air becomes spans that drift") {
  const SpoolRecord record = with_log("hours,temp,rh\n0,20,50\n2,60,10\n6,60,10\n");
  const Result<Timeline> timeline =
      make_timeline(record, utc("2026-03-04T12:00:00Z"), kRoom);
  REQUIRE(timeline.has_value());
  CHECK(shown(*timeline) ==
        "02T08:00 04T06:00 storage assumed\n"
        "04T06:00 04T08:00 print 40.0 g\n"
        "04T08:00 04T12:00 print 80.0 g\n");
  const Span& warming = timeline->spans[1];
  CHECK(std::get<StatedAir>(warming.air).temperature_k == Approx(293.15));
  REQUIRE(warming.air_end);
  CHECK(warming.air_end->temperature_k == Approx(333.15).margin(0.2));
  CHECK(std::hypot(warming.used_sd_kg, timeline->spans[2].used_sd_kg) ==
        Approx(0.012 * 0.120));
  REQUIRE(timeline->notes.size() == 1);
  CHECK(timeline->notes[0] ==
        "d.csv: 2 gaps, the longest 4.0 h from 2026-03-04T08:00:00Z, bridged by a "
        "straight line");
}

TEST_CASE("a log that says nothing of its event") {
  const Instant at = utc("2026-03-04T12:00:00Z");
  CHECK(make_timeline(read(record_text(kLogged)), at, kRoom).error().text() ==
        "T.json /events/0/air/log: the log d.csv was not read; check the file");
  CHECK(make_timeline(with_log("time,temp\n2026-03-05T06:00Z,20\n"), at, kRoom)
            .error()
            .text() ==
        "T.json /events/0/air/log: d.csv has rows from 2026-03-05T06:00:00Z to "
        "2026-03-05T06:00:00Z, none of them in this event; check the times and their "
        "zone");
}

}  // namespace
}  // namespace drydepth
