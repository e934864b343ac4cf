#include "record/record.h"

#include <catch2/catch.hpp>
#include <string>

#include "base/json_value.h"
#include "record/event_writer.h"
#include "record/record_text.h"

namespace drydepth {
namespace {

TEST_CASE("a whole record, in SI") {
  const SpoolRecord record = read(k07_text());
  CHECK(record.id == "K-07");
  CHECK(record.material == "pa6");
  CHECK(record.filament_diameter_m == Approx(0.00175));
  CHECK(record.winding.hub_diameter_m == Approx(0.080));
  CHECK(record.winding.width_m == Approx(0.055));
  CHECK(record.winding.outer_diameter_m == Approx(0.185));
  CHECK(record.winding.full_net_kg == Approx(0.978));
  CHECK(record.winding.full_net_sd_kg == Approx(0.015));
  CHECK(record.body.kind == "pc");
  CHECK(record.body.tare_kg == Approx(0.214));
  CHECK(record.body.tare_sd_kg == Approx(0.003));
  CHECK(record.pack.gap_factor == 0.06);
  CHECK(record.pack.side_w_m2k == 6.5);
  CHECK(record.opened.at == utc("2026-03-02T08:00:00Z"));
  CHECK(record.opened.temperature_k == Approx(296.15));
  CHECK(record.opened.moisture == Approx(0.028));
  CHECK(record.opened.moisture_sd == Approx(0.006));
  REQUIRE(record.events.size() == 5);
  const auto& weighing = std::get<Weighing>(record.events[1]);
  CHECK(weighing.gross_kg == Approx(1.2192));
  CHECK(weighing.scale_sd_kg == Approx(0.0001));
  const auto& drying = std::get<Interval>(record.events[2]);
  CHECK(drying.kind == SpanKind::kDrying);
  CHECK(drying.from == utc("2026-03-03T10:00:00Z"));
  CHECK(drying.to == utc("2026-03-03T22:00:00Z"));
  const auto& heater = std::get<HeaterAir>(*drying.air);
  CHECK(heater.temperature_k == Approx(355.15));
  CHECK(heater.room->activity == Approx(0.40));
  const auto& print = std::get<Interval>(record.events[4]);
  CHECK(print.used_kg == Approx(0.120));
  CHECK(print.feed == Feed::kOpen);
  CHECK(print.job == "bracket.gcode");
}

TEST_CASE("what a record leaves out") {
  const SpoolRecord record = read(R"({"format": "drydepth-spool/1", "id": "T",
    "material": "pa6", "filament": {"diameter_mm": 2.85},
    "winding": {"width_mm": 55, "hub_diameter_mm": 80, "full_net_g": 1000},
    "body": {"kind": "plastic", "tare_g": 200},
    "events": [{"type": "weighing", "at": "2026-03-02T08:00:00Z", "gross_g": 1200},
               {"type": "print", "from": "2026-03-02T09:00:00Z", "used_g": 100}]})");
  CHECK(record.winding.full_net_sd_kg == Approx(0.015));  // 1.5 % of 1 kg
  CHECK_FALSE(record.winding.outer_diameter_m);
  CHECK(record.body.tare_sd_kg == Approx(0.005));
  CHECK_FALSE(record.opened.at);
  CHECK_FALSE(record.pack.gap_factor);
  CHECK(std::get<Weighing>(record.events[0]).scale_sd_kg == Approx(0.001));
  const auto& print = std::get<Interval>(record.events[1]);
  CHECK(print.used_sd_kg == Approx(0.0012));
  CHECK_FALSE(print.to);
  CHECK_FALSE(print.air);
}

TEST_CASE("kinds of air") {
  struct Row {
    std::string json;
    AirSpec air;
  };
  const StatedAir room{.temperature_k = 296.15, .activity = 0.4};
  const Row rows[] = {
      {R"({"temperature_c": 23, "rh_percent": 40})", room},
      {R"({"temperature_c": 26.85})", HeaterAir{.temperature_k = 300}},
      {R"({"temperature_c": 26.85, "room": {"temperature_c": 23, "rh_percent": 40},
           "exchange_m3_h": 0.36, "chamber_m3": 0.02})",
       HeaterAir{.temperature_k = 300,
                 .room = room,
                 .exchange_m3_s = 0.36 / 3600,
                 .chamber_m3 = 0.02}},
      {R"({"temperature_c": 26.85, "set_c": 36.85})",
       HeaterAir{.temperature_k = 300, .set_k = 310}},
      {R"({"log": "dryer.csv"})", AirLog{"dryer.csv"}},
  };
  for (const Row& row : rows) {
    INFO(row.json);
    const SpoolRecord record = read(
        record_text(R"({"type": "drying", "from": "2026-03-02T09:00:00Z", "air": )" +
                    row.json + "}"));
    const auto& interval = std::get<Interval>(record.events[0]);
    CHECK(*interval.air == row.air);
    // And back: the event's JSON says the same.
    const SpoolRecord again = read(record_text(event_json(record.events[0]).dump()));
    CHECK(*std::get<Interval>(again.events[0]).air == row.air);
  }
}

// Each row spoils the good record in one place.
struct Spoilt {
  std::string piece;
  std::string by;
  std::string error;
};

void check_spoilt(const Spoilt& row) {
  INFO(row.by);
  const Result<SpoolRecord> record =
      read_record(replaced(k07_text(), row.piece, row.by), "K-07.json");
  REQUIRE_FALSE(record.has_value());
  CHECK(record.error().text() == row.error);
  CHECK(record.error().exit_code == 65);
}

TEST_CASE("errors of the parts") {
  const Spoilt rows[] = {
      {"drydepth-spool/1", "drydepth-spool/2",
       "K-07.json /format: unknown word \"drydepth-spool/2\"; did you mean "
       "drydepth-spool/1? Known: drydepth-spool/1"},
      {"\"id\": \"K-07\",", "",
       "K-07.json /id: the spool's id is missing; write e.g. \"K-07\""},
      {"\"material\": \"pa6\",", "\"material\": 6,",
       "K-07.json /material: expected the id of a material, got 6; write e.g. \"pa6\""},
      {"\"filament\": {\"diameter_mm\": 1.75, \"colour\": \"natural\"},", "",
       "K-07.json /filament: this object is missing; write { ... } there"},
      {"\"diameter_mm\": 1.75", "\"diameter_mm\": 0.00175",
       "K-07.json /filament/diameter_mm: expected a number of millimetres from 1 to 4, "
       "got 0.00175; that looks like metres: write 1.75"},
      {"\"width_mm\": 55", "\"width_mm\": \"wide\"",
       "K-07.json /winding/width_mm: expected a number of millimetres from 1 to 1000, "
       "got \"wide\"; write e.g. 55"},
      {"\"hub_diameter_mm\": 80, \"width_mm\": 55, \"outer_diameter_mm\": 185,",
       "\"width_mm\": 55,",
       "K-07.json /winding: the size of the winding is not settled; give two of "
       "hub_diameter_mm, outer_diameter_mm and full_net_g"},
      {"\"outer_diameter_mm\": 185", "\"outer_diameter_mm\": 70",
       "K-07.json /winding/outer_diameter_mm: the winding ends inside its hub; swap or "
       "mend hub_diameter_mm and outer_diameter_mm"},
      {"\"full_net_g\": 978", "\"full_net_g\": 0.978",
       "K-07.json /winding/full_net_g: expected a number of grams from 5 to 30000, got "
       "0.978; that looks like kilograms: write 978"},
      {"\"kind\": \"pc\", ", "",
       "K-07.json /body/kind: the kind of spool body is missing; write e.g. \"pc\""},
      {"\"hub_open\": false", "\"hub_open\": 0",
       "K-07.json /body/hub_open: expected true or false, got 0; write e.g. true"},
      {"\"gap_factor\": 0.06", "\"gap_factor\": 6",
       "K-07.json /pack/gap_factor: expected a number above 0 up to 1, got 6; write "
       "e.g. "
       "0.06"},
      {"\"moisture_percent\": 2.8", "\"moisture_percent\": 28",
       "K-07.json /opened/moisture_percent: expected a number of percent of the dry "
       "mass "
       "from 0 to 20, got 28; write e.g. 2.8"},
      {"\"moisture_percent\": 2.8", "\"layers_percent\": [0.4, 28]",
       "K-07.json /opened/layers_percent/1: expected a number of percent of the dry "
       "mass from 0 to 20, got 28; write e.g. 2.8"},
      {"\"moisture_percent\": 2.8",
       "\"moisture_percent\": 2.8, \"layers_percent\": [0.4]",
       "K-07.json /opened/layers_percent: the moisture is given twice, as one number "
       "and by layer; keep one of moisture_percent and layers_percent"},
      {"\"at\": \"2026-03-02T08:00:00Z\"", "\"at\": \"2026-03-02 08:00\"",
       "K-07.json /opened/at: \"2026-03-02 08:00\" does not say its time zone; end it "
       "with Z for UTC or with an offset such as +01:00"},
  };
  for (const Spoilt& row : rows) check_spoilt(row);
}

TEST_CASE("errors of events") {
  const Spoilt rows[] = {
      {"\"type\": \"drying\"", "\"type\": \"dring\"",
       "K-07.json /events/2/type: unknown word \"dring\"; did you mean drying? Known: "
       "weighing, drying, storage, print, piece, coupon, purge, respool"},
      {"\"to\": \"2026-03-03T22:00:00Z\"", "\"to\": \"2026-03-03T09:00:00Z\"",
       "K-07.json /events/2/to: it ends before it starts; swap or mend from and to"},
      {"\"to\": \"2026-03-04T12:00:00Z\"", "\"to\": \"2026-03-04T06:00:00Z\"",
       "K-07.json /events/4/to: a print takes time, but this one ends as it starts; "
       "mend "
       "from or to"},
      {"\"temperature_c\": 82", "\"temperature_c\": 355",
       "K-07.json /events/2/air/temperature_c: expected a number of degrees Celsius "
       "from "
       "-40 to 200, got 355; write e.g. 23"},
      {"\"rh_percent\": 40", "\"rh_percent\": 140",
       "K-07.json /events/2/air/room/rh_percent: expected a number of percent relative "
       "humidity from 0 to 100, got 140; write e.g. 45"},
      {"\"rh_percent\": 40", "\"rh_percent\": 0.4",
       "K-07.json /events/2/air/room/rh_percent: expected percent, got 0.4, which "
       "looks "
       "like a fraction; write 40, or 1 for air as dry as that"},
      {"\"temperature_c\": 82,", "\"temperature_c\": 82, \"rh_percent\": 2,",
       "K-07.json /events/2/air/rh_percent: the humidity is given twice, by itself and "
       "by "
       "the room; keep rh_percent if it was measured in there, else room"},
      {", \"air\": {\"temperature_c\": 82, \"room\": {\"temperature_c\": 23, "
       "\"rh_percent\": 40}}",
       "",
       "K-07.json /events/2/air: drying needs its air; write e.g. {\"temperature_c\": "
       "70}, "
       "with the room's air if known"},
      {"\"gross_g\": 1219.2", "\"gross_g\": 1.2192",
       "K-07.json /events/1/gross_g: expected a number of grams from 10 to 40000, got "
       "1.2192; that looks like kilograms: write 1219.2"},
      {"\"scale_sd_g\": 0.1", "\"scale_sd_g\": 0",
       "K-07.json /events/1/scale_sd_g: expected a number of grams above 0 up to 1000, "
       "got "
       "0; write e.g. 0.1"},
      {"\"used_g\": 120,", "",
       "K-07.json /events/4/used_g: a number of grams from 0 to 30000 is missing; "
       "write "
       "e.g. 120.5"},
      {"\"feed\": \"open\"", "\"feed\": \"box\"",
       "K-07.json /events/4/feed: unknown word \"box\"; known: open, dry-box, "
       "live-dryer"},
  };
  for (const Spoilt& row : rows) check_spoilt(row);
}

TEST_CASE("a record cut short anywhere is an error or the same record") {
  const std::string text = k07_text();
  for (std::size_t size = 0; size < text.size(); size += 7) {
    INFO(size);
    const Result<SpoolRecord> record = read_record(text.substr(0, size), "K-07.json");
    CHECK_FALSE(record.has_value());
    if (!record) CHECK(record.error().what == "the JSON ends too early");
  }
}

TEST_CASE("names of feeds") {
  for (const Feed feed : {Feed::kOpen, Feed::kDryBox, Feed::kLiveDryer}) {
    CHECK(*parse_feed(feed_name(feed)) == feed);
  }
  CHECK(parse_feed("drybox").error().text() ==
        "unknown feed \"drybox\"; did you mean dry-box? Known: open, dry-box, "
        "live-dryer");
}

}  // namespace
}  // namespace drydepth
