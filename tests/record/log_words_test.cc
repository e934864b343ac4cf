#include "record/typed/log_words.h"

#include <catch2/catch.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "base/json_value.h"
#include "record/event_writer.h"
#include "record/record_text.h"

namespace drydepth {
namespace {

std::vector<std::string> split(const std::string& line) {
  std::istringstream in(line);
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

// Half past nine in the evening in a zone an hour ahead of UTC.
Clock clock() {
  return {utc("2026-03-02T20:30:00Z"), {[](Instant) { return Seconds(3600); }}};
}

TEST_CASE("words to events") {
  struct Row {
    std::string words;
    std::string json;
  };
  const Row rows[] = {
      {"weighing 1211.4g",
       R"({"type":"weighing","at":"2026-03-02T20:30:00Z","gross_g":1211.4})"},
      {"weighing 1211.4 g scale 0.1 g",
       R"({"type":"weighing","at":"2026-03-02T20:30:00Z","gross_g":1211.4,"scale_sd_g":0.1})"},
      {"weighing 42oz 21:00 scale 1g",
       R"({"type":"weighing","at":"2026-03-02T20:00:00Z","gross_g":1190.67997125,"scale_sd_g":1})"},
      {"weighing 1211.4g at yesterday 22:00",
       R"({"type":"weighing","at":"2026-03-01T21:00:00Z","gross_g":1211.4})"},
      {"drying 82C",
       R"({"type":"drying","from":"2026-03-02T20:30:00Z","air":{"temperature_c":82}})"},
      {"drying 180F room 23C/40% for 10h",
       R"({"type":"drying","from":"2026-03-02T20:30:00Z","to":"2026-03-03T06:30:00Z","air":{"temperature_c":82.222222222,"room":{"temperature_c":23,"rh_percent":40}}})"},
      {"drying 82C since 20:00 until 06:00",
       R"({"type":"drying","from":"2026-03-02T19:00:00Z","to":"2026-03-03T05:00:00Z","air":{"temperature_c":82}})"},
      {"drying 82C until 06:00 since yesterday 20:00",
       R"({"type":"drying","from":"2026-03-01T19:00:00Z","to":"2026-03-02T05:00:00Z","air":{"temperature_c":82}})"},
      {"drying 70C exchange 0.3m3/h chamber 20l",
       R"({"type":"drying","from":"2026-03-02T20:30:00Z","air":{"temperature_c":70,"exchange_m3_h":0.3,"chamber_m3":0.02}})"},
      {"drying log dryer.csv since 2026-03-01 20:00",
       R"({"type":"drying","from":"2026-03-01T19:00:00Z","air":{"log":"dryer.csv"}})"},
      {"storage", R"({"type":"storage","from":"2026-03-02T20:30:00Z"})"},
      {"storage 25C 15% since 20:00 for 1 h",
       R"({"type":"storage","from":"2026-03-02T19:00:00Z","to":"2026-03-02T20:00:00Z","air":{"temperature_c":25,"rh_percent":15}})"},
      {"drying 82 C room 23 C 40 %",
       R"({"type":"drying","from":"2026-03-02T20:30:00Z","air":{"temperature_c":82,"room":{"temperature_c":23,"rh_percent":40}}})"},
      {"storage 25C/15% since 2026-03-01T08:00:00Z",
       R"({"type":"storage","from":"2026-03-01T08:00:00Z","air":{"temperature_c":25,"rh_percent":15}})"},
      {"print 120.5g feed dry-box job bracket.gcode since 18:00 for 3h",
       R"({"type":"print","from":"2026-03-02T17:00:00Z","to":"2026-03-02T20:00:00Z","used_g":120.5,"feed":"dry-box","job":"bracket.gcode"})"},
      {"respool pc",
       R"({"type":"respool","at":"2026-03-02T20:30:00Z","body":{"kind":"pc"}})"},
      {"respool cardboard tare 190g hub 100mm width 60mm outer 190mm hub-open 20C/35% "
       "at 20:00",
       R"({"type":"respool","at":"2026-03-02T19:00:00Z","body":{"kind":"cardboard","tare_g":190,"hub_open":true},"winding":{"hub_diameter_mm":100,"width_mm":60,"outer_diameter_mm":190},"air":{"temperature_c":20,"rh_percent":35}})"},
  };
  for (const Row& row : rows) {
    INFO(row.words);
    const Result<LogEntry> entry = parse_log(split(row.words), clock());
    if (!entry) FAIL(entry.error().text());
    CHECK(event_json(std::get<Event>(*entry)).dump() == row.json);
  }
}

TEST_CASE("words that stop") {
  struct Row {
    std::string words;
    std::string at;
  };
  const Row rows[] = {{"stop", "2026-03-02T20:30:00Z"},
                      {"stop 03:10", "2026-03-02T02:10:00Z"},
                      {"stop at yesterday 03:10", "2026-03-01T02:10:00Z"}};
  for (const Row& row : rows) {
    INFO(row.words);
    const Result<LogEntry> entry = parse_log(split(row.words), clock());
    REQUIRE(entry.has_value());
    CHECK(format_instant(std::get<StopWords>(*entry).at) == row.at);
  }
}

TEST_CASE("words that are wrong") {
  struct Row {
    std::string words;
    std::string error;
  };
  const std::string types =
      "weighing, drying, storage, print, piece, coupon, purge, respool, stop";
  const Row rows[] = {
      {"", "log: it does not say what happened; known: " + types},
      {"weigthing 1g",
       "log: unknown event \"weigthing\"; did you mean weighing? Known: " + types},
      {"weighing",
       "log weighing: the reading of the scale is missing; write e.g. 1211.4g"},
      {"weighing 1211.4",
       "log weighing: the mass \"1211.4\" has no unit; put g, kg, oz or lb behind the "
       "number"},
      {"weighing 1211.4g 9pm",
       "log weighing: expected a time, got \"9pm\"; write e.g. 22:00 or \"2026-03-02 "
       "22:00\""},
      {"respool", "log respool: the kind of the new body is missing; write e.g. pc"},
      {"respool pc hub 100",
       "log respool: expected the hub's diameter, got \"100\"; write e.g. 80mm"},
      {"respool pc tare",
       "log respool: the new body's mass is missing; write e.g. 214g"},
      {"drying", "log drying: the dryer's temperature is missing; write e.g. 82C"},
      {"drying 82",
       "log drying: the temperature \"82\" has no unit; put C or F behind the number"},
      {"drying 82C rom 23C/40%",
       "log drying: unknown word \"rom\"; did you mean room? Known: room, exchange, "
       "chamber, log, since, until, for"},
      {"drying 82C room 23/40%",
       "log drying: the temperature \"23\" has no unit; put C or F behind the number"},
      {"drying 82C for 10",
       "log drying: the duration \"10\" has no unit; put h or min behind the number"},
      {"drying 82C for 10h until 08:00",
       "log drying: both an end and a duration are given; keep one of until and for"},
      {"drying 82C since", "log drying: a time is missing; write e.g. 22:00"},
      {"drying 82C exchange 3",
       "log drying: expected a flow of air, got \"3\"; write e.g. 0.3m3/h"},
      {"drying 82C chamber 3",
       "log drying: expected a volume, got \"3\"; write e.g. 20l or 0.02m3"},
      {"drying 82C until 2026-03-01",
       "log drying: it would end before it starts; mend since or until"},
      {"storage 25C",
       "log storage: expected temperature and humidity, got \"25C\"; write e.g. "
       "23C/45%"},
      {"print 12g 40rh",
       "log print: expected temperature and humidity, got \"40rh\"; write e.g. "
       "23C/45%"},
      {"storage cellar",
       "log storage: unknown word \"cellar\"; known: log, since, until, for"},
      {"print", "log print: the mass printed is missing; write e.g. 120.5g"},
      {"print 12g feed bag",
       "log print: unknown feed \"bag\"; known: open, dry-box, live-dryer"},
      {"stop 03:10 now",
       "log stop: a stop takes one time, not also \"now\"; remove it"},
  };
  for (const Row& row : rows) {
    INFO(row.words);
    const Result<LogEntry> entry = parse_log(split(row.words), clock());
    REQUIRE_FALSE(entry.has_value());
    CHECK(entry.error().text() == row.error);
    CHECK(entry.error().exit_code == 64);
  }
}

}  // namespace
}  // namespace drydepth
