#include "record/amend.h"

#include <catch2/catch.hpp>
#include <string>

#include "base/json_text.h"
#include "base/json_value.h"
#include "record/record_text.h"
#include "spool/new_spool.h"

namespace drydepth {
namespace {

std::vector<Material> materials() { return *load_materials(); }
std::vector<Body> bodies() { return *load_bodies(); }

Json events_of(const Result<SpoolRecord>& record) {
  if (!record) FAIL(record.error().text());
  return (*parse_json(record->text, "T.json"))["events"];
}

TEST_CASE("a new record") {
  const NewSpool spool{.id = "K-08",
                       .material = "pa6",
                       .width_mm = 55,
                       .hub_mm = 80,
                       .outer_mm = 185,
                       .net_g = 978,
                       .body = "pc",
                       .tare_g = 214.5,
                       .opened = utc("2026-03-02T08:00:00Z"),
                       .moisture_percent = 2.8};
  const Result<SpoolRecord> record =
      make_record(spool, "K-08.json", materials(), bodies());
  if (!record) FAIL(record.error().text());
  CHECK(record->text ==
        "{\n"
        " \"format\": \"drydepth-spool/1\",\n"
        " \"id\": \"K-08\",\n"
        " \"material\": \"pa6\",\n"
        " \"filament\": {\"diameter_mm\": 1.75},\n"
        " \"winding\": {\n"
        "  \"hub_diameter_mm\": 80,\n"
        "  \"width_mm\": 55,\n"
        "  \"outer_diameter_mm\": 185,\n"
        "  \"full_net_g\": 978\n"
        " },\n"
        " \"body\": {\"kind\": \"pc\", \"tare_g\": 214.5},\n"
        " \"opened\": {\"at\": \"2026-03-02T08:00:00Z\", \"moisture_percent\": 2.8},\n"
        " \"events\": []\n"
        "}\n");
  CHECK(record->opened.moisture == Approx(0.028));
}

TEST_CASE("a new record that cannot be") {
  struct Row {
    NewSpool spool;
    std::string error;
  };
  const NewSpool good{
      .id = "K-08", .material = "pa6", .width_mm = 55, .hub_mm = 80, .net_g = 978};
  std::vector<Row> rows(5, {good, ""});
  rows[0].spool.material = "pa-6";
  rows[0].error =
      "--material: unknown material \"pa-6\"; did you mean pa6? Known: abs, asa, pa11, "
      "pa12, pa6, pa6-cf, pa610, pa612, pa66, pa66-cf, pa66-gf, pc, pc-abs, peek, pei, "
      "pes, pet, petg, pla, ppa, pps, psu, pva, tpu";
  rows[1].spool.body = "wood";
  rows[1].error =
      "--body: unknown body \"wood\"; known: abs, cardboard, pc, pla, plastic, pp, "
      "printed, ps";
  rows[2].spool.width_mm.reset();
  rows[2].error =
      "K-08.json /winding/width_mm: a number of millimetres from 1 to 1000 is missing; "
      "write e.g. 55";
  rows[3].spool.hub_mm.reset();
  rows[3].error =
      "K-08.json /winding: the size of the winding is not settled; give two of "
      "hub_diameter_mm, outer_diameter_mm and full_net_g";
  rows[4].spool.diameter_mm = 0.00175;
  rows[4].error =
      "K-08.json /filament/diameter_mm: expected a number of millimetres from 1 to 4, "
      "got "
      "0.00175; that looks like metres: write 1.75";
  for (const Row& row : rows) {
    INFO(row.error);
    const Result<SpoolRecord> record =
        make_record(row.spool, "K-08.json", materials(), bodies());
    REQUIRE_FALSE(record.has_value());
    CHECK(record.error().text() == row.error);
  }
}

TEST_CASE("an added event leaves everything else as it was") {
  const SpoolRecord before = read(k07_text());
  const Event event = Weighing{.at = utc("2026-03-05T08:00:00Z"), .gross_kg = 1.088};
  const Result<SpoolRecord> after = append_event(before, event);
  REQUIRE(after.has_value());
  Json expected = *parse_json(before.text, "x");
  expected["events"].push_back(
      {{"type", "weighing"}, {"at", "2026-03-05T08:00:00Z"}, {"gross_g", 1088}});
  const Json found = *parse_json(after->text, "x");
  CHECK(found == expected);
  CHECK(found.dump() == expected.dump());  // the order of keys too
  CHECK(found["events"][2]["dryer"] == "the tall one");
  CHECK(after->events.size() == 6);
}

TEST_CASE("an interval ends the one that is running") {
  const SpoolRecord running = read(record_text(
      R"({"type": "storage", "from": "2026-03-02T08:00:00Z", "shelf": "B"})"));
  const Event drying = Interval{.kind = SpanKind::kDrying,
                                .from = utc("2026-03-02T10:00:00Z"),
                                .air = HeaterAir{.temperature_k = 343.15}};
  const Json events = events_of(append_event(running, drying));
  CHECK(
      events.dump() ==
      R"([{"type":"storage","from":"2026-03-02T08:00:00Z","to":"2026-03-02T10:00:00Z",)"
      R"("shelf":"B","ended_by":"the next event"},{"type":"drying","from":"2026-03-02T10:00:00Z",)"
      R"("air":{"temperature_c":70}}])");
  const Event weighing = Weighing{
      .at = utc("2026-03-02T09:00:00Z"), .gross_kg = 1.2, .scale_sd_kg = 0.001};
  const Json weighed = events_of(append_event(running, weighing));
  CHECK_FALSE(weighed[0].contains("to"));
  CHECK(weighed[1]["type"] == "weighing");
}

TEST_CASE("an event logged late goes to its place by time") {
  const Event storage = Interval{.kind = SpanKind::kStorage,
                                 .from = utc("2026-03-03T23:00:00Z"),
                                 .to = utc("2026-03-04T05:00:00Z")};
  const Json events = events_of(append_event(read(k07_text()), storage));
  CHECK(events[4]["from"] == "2026-03-03T23:00:00Z");
  CHECK(events[5]["type"] == "print");
}

TEST_CASE("an event that overlaps is refused") {
  const Event storage =
      Interval{.kind = SpanKind::kStorage, .from = utc("2026-03-03T21:00:00Z")};
  const Result<SpoolRecord> record = append_event(read(k07_text()), storage);
  REQUIRE_FALSE(record.has_value());
  CHECK(
      record.error().text() ==
      "T.json /events/3/from: this storage starts at 2026-03-03T21:00:00Z, before the "
      "drying ahead of it ends at 2026-03-03T22:00:00Z; a spool is in one place at a "
      "time, mend one of the two times");
}

TEST_CASE("a record stopped") {
  const std::string open =
      R"({"type": "drying", "from": "2026-03-02T10:00:00Z", "air": {"temperature_c": 70}})";
  const std::string planned =
      R"({"type": "drying", "from": "2026-03-02T10:00:00Z", "to": "2026-03-02T22:00:00Z",
          "air": {"temperature_c": 70}})";
  struct Row {
    std::string events;
    std::string at;
    std::string end_or_error;
  };
  const Row rows[] = {
      {open, "2026-03-02T20:00:00Z", "2026-03-02T20:00:00Z"},
      {planned, "2026-03-02T20:00:00Z", "2026-03-02T20:00:00Z"},
      {"", "2026-03-02T20:00:00Z",
       "T.json: nothing is running that could stop; log what the spool does first, "
       "e.g. "
       "storage or drying 82C"},
      {planned, "2026-03-02T23:00:00Z",
       "T.json: nothing is running that could stop, the last drying ended at "
       "2026-03-02T22:00:00Z; log what the spool does since then"},
      {open, "2026-03-02T09:00:00Z",
       "T.json: a stop at 2026-03-02T09:00:00Z comes before the drying starts at "
       "2026-03-02T10:00:00Z; give a later time"},
  };
  for (const Row& row : rows) {
    INFO(row.end_or_error);
    const Result<SpoolRecord> record =
        stop(read(record_text(row.events)), utc(row.at), utc("2026-03-03T00:00:00Z"));
    CHECK((record ? events_of(record)[0]["to"].get<std::string>()
                  : record.error().text()) == row.end_or_error);
  }
}

TEST_CASE("an end that was planned stays in the history") {
  const SpoolRecord planned = read(record_text(
      R"({"type": "drying", "from": "2026-03-02T10:00:00Z", "to": "2026-03-02T22:00:00Z",
          "air": {"temperature_c": 70}})"));
  const auto stopped =
      stop(planned, utc("2026-03-02T20:00:00Z"), utc("2026-03-02T20:00:05Z"));
  REQUIRE(stopped.has_value());
  const Json json = *parse_json(stopped->text, "x");
  CHECK(json["history"].dump() ==
        R"([{"at":"2026-03-02T20:00:05Z","did":"end moved","event":{"type":"drying",)"
        R"("from":"2026-03-02T10:00:00Z","to":"2026-03-02T22:00:00Z",)"
        R"("air":{"temperature_c":70}}}])");
}

const Event kDrying = Interval{.kind = SpanKind::kDrying,
                               .from = Instant(Seconds(1772445600)),  // 10:00 UTC
                               .air = HeaterAir{.temperature_k = 343.15}};

TEST_CASE("an event taken out: what it ended runs on, the history keeps it") {
  const std::string storage =
      R"({"type": "storage", "from": "2026-03-02T08:00:00Z", "shelf": "B"})";
  const SpoolRecord before = read(record_text(storage));
  const auto dried = append_event(before, kDrying);
  REQUIRE(dried.has_value());
  const auto undone = remove_event(*dried, {}, utc("2026-03-02T10:01:00Z"));
  REQUIRE(undone.has_value());
  Json json = *parse_json(undone->text, "x");
  CHECK(json["events"] == (*parse_json(before.text, "x"))["events"]);
  REQUIRE(json["history"].size() == 1);
  CHECK(json["history"][0]["at"] == "2026-03-02T10:01:00Z");
  CHECK(json["history"][0]["did"] == "removed");
  CHECK(json["history"][0]["event"]["type"] == "drying");
  // Again: the first entry stays.
  const auto twice = remove_event(*undone, 0, utc("2026-03-02T10:02:00Z"));
  REQUIRE(twice.has_value());
  CHECK((*parse_json(twice->text, "x"))["history"].size() == 2);
  CHECK(twice->events.empty());
}

TEST_CASE("an end that somebody stated stays when the next event goes") {
  const SpoolRecord record = read(record_text(
      R"({"type": "storage", "from": "2026-03-02T08:00:00Z", "to": "2026-03-02T10:00:00Z"})"));
  const auto dried = append_event(record, kDrying);
  REQUIRE(dried.has_value());
  const auto undone = remove_event(*dried, {}, utc("2026-03-02T10:01:00Z"));
  REQUIRE(undone.has_value());
  CHECK(std::get<Interval>(undone->events[0]).to.has_value());
}

TEST_CASE("there must be something to take out") {
  const Instant now = utc("2026-03-02T10:01:00Z");
  CHECK(remove_event(read(record_text("")), {}, now).error().text() ==
        "T.json: there is no event to take out");
  CHECK(remove_event(read(k07_text()), 5, now).error().text() ==
        "T.json: there is no event 5, the last one is 4; they count from 0, see show "
        "--json");
}

}  // namespace
}  // namespace drydepth
