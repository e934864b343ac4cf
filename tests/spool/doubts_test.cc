#include "spool/doubts.h"

#include <catch2/catch.hpp>
#include <string>

#include "record/record_text.h"
#include "spool/checks.h"

namespace drydepth {
namespace {

Material pa6() {
  const auto materials = load_materials();
  REQUIRE(materials.has_value());
  return *find_material(*materials, "pa6", "test");
}

// 978 g as sold on 214 g, opened 2026-03-02 08:00.
const std::string kFirst =
    R"({"type": "weighing", "at": "2026-03-02T09:00:00Z", "gross_g": 1215, "scale_sd_g": 0.1},)";
const std::string kDrying =
    R"({"type": "drying", "from": "2026-03-02T08:30:00Z", "to": "2026-03-02T20:00:00Z",
        "air": {"temperature_c": 80}},)";
const std::string kDried = kDrying + kFirst;
const std::string kPrint =
    R"({"type": "print", "from": "2026-03-02T10:00:00Z", "to": "2026-03-02T12:00:00Z",
        "used_g": 120},)";

TEST_CASE("odd weighings") {
  struct Row {
    std::string label, events, at;
    double gross_g;
    std::string doubt;
  };
  const std::string hot =
      "the spool is hot or was an hour ago: updraft makes it seem some 0.3 g lighter, "
      "which the fit allows for";
  const Row rows[] = {
      {"as it should be", "", "2026-03-02T09:00:00Z", 1215, ""},
      {"filament missing at first", "", "2026-03-02T09:00:00Z", 1000,
       "gross less tare is 786.0 g, by label and prints 978.0 g should be left: was "
       "some "
       "use not logged?"},
      {"too much at first", "", "2026-03-02T09:00:00Z", 1350,
       "gross less tare is 1136.0 g, by label and prints 978.0 g should be left: is it "
       "this spool, and this tare?"},
      {"little change", kFirst, "2026-03-02T19:00:00Z", 1214, ""},
      {"use not logged", kFirst, "2026-03-02T19:00:00Z", 1150,
       "65.0 g less than the last weighing and the prints since: was some use not "
       "logged?"},
      {"use logged", kFirst + kPrint, "2026-03-02T19:00:00Z", 1095, ""},
      {"use logged, another spool", kFirst + kPrint, "2026-03-02T19:00:00Z", 1215,
       "120.0 g more than the last weighing, more than damp air gives: is it this "
       "spool?"},
      {"falls in the dryer", kDried, "2026-03-02T19:00:00Z", 1205, hot},
      {"rises in the dryer", kDried, "2026-03-02T19:00:00Z", 1217,
       "the mass has risen by 2.0 g in the dryer, where it can only fall"},
      {"cooled down", kDried, "2026-03-02T21:00:00Z", 1205, ""},
      {"still warm", kDried, "2026-03-02T20:30:00Z", 1205, hot},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    std::string events = row.events;
    if (!events.empty()) events.pop_back();  // the comma
    const Event event = Weighing{
        .at = utc(row.at), .gross_kg = row.gross_g / 1000, .scale_sd_kg = 0.0001};
    const auto found = doubts(read(record_text(events)), event, pa6());
    CHECK((found.empty() ? "" : found.front()) == row.doubt);
  }
}

TEST_CASE("only weighings are doubted") {
  const Event storage = Interval{.from = utc("2026-03-02T09:00:00Z")};
  CHECK(doubts(read(k07_text()), storage, pa6()).empty());
}

TEST_CASE("a reading in the wrong unit is recognised") {
  struct Row {
    std::string gross_g, error;
  };
  const Row rows[] = {
      {"42.5",
       "T.json /events/0/gross_g: 42.5 g is less than the empty spool's 214.0 g; that "
       "looks like ounces: log 42.5oz"},
      {"34000",
       "T.json /events/0/gross_g: 34000.0 g is more than this spool can weigh, 1415.6 "
       "g "
       "wet to the core (sold with 978.0 g); that looks like grams given as ounces: "
       "log "
       "1199.3g"},
  };
  for (const Row& row : rows) {
    INFO(row.gross_g);
    const auto record =
        read_record(record_text(R"({"type": "weighing", "at": "2026-03-02T09:00:00Z",
                                     "gross_g": )" +
                                row.gross_g + "}"),
                    "T.json");
    const auto checked =
        record ? check_masses(*record, pa6()) : Result<Done>(record.error());
    REQUIRE_FALSE(checked.has_value());
    CHECK(checked.error().text() == row.error);
  }
}

}  // namespace
}  // namespace drydepth
