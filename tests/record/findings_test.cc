#include <catch2/catch.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "base/json_value.h"
#include "record/amend.h"
#include "record/event_writer.h"
#include "record/record_text.h"
#include "record/typed/log_words.h"
#include "spool/checks.h"
#include "spool/doubts.h"
#include "spool/finding_checks.h"

namespace drydepth {
namespace {

Material pa6() { return *find_material(*load_materials(), "pa6", "test"); }

Result<Event> logged(const std::string& words) {
  std::vector<std::string> all;
  std::istringstream in(words);
  for (std::string word; in >> word;) all.push_back(word);
  const auto entry = parse_log(all, Clock{utc("2026-03-05T20:00:00Z"), utc_zone()});
  if (!entry) return entry.error();
  return std::get<Event>(*entry);
}

std::string findings_text() {
  const auto text = read_whole_file(DRYDEPTH_TEST_DATA "/spools/F-03.json");
  REQUIRE(text.has_value());
  return *text;
}

// The record's text with a piece of it replaced, read and checked: the error, or "".
std::string spoilt(const std::string& piece, const std::string& by) {
  const auto record = read_record(replaced(findings_text(), piece, by), "F-03.json");
  if (!record) return record.error().text();
  const auto masses = check_masses(*record, pa6());
  return masses ? "" : masses.error().text();
}

}  // namespace

TEST_CASE("findings as typed, in the record") {
  const struct {
    const char* words;
    const char* json;
  } rows[] = {
      {"piece 3.42g 3350mg scale 1mg dried 80C at 18:00",
       R"({"type":"piece","at":"2026-03-05T18:00:00Z","before_g":3.42,"after_g":3.35,)"
       R"("scale_sd_g":0.001,"dried_c":80})"},
      {"piece 3.42g 3.35g",
       R"({"type":"piece","at":"2026-03-05T20:00:00Z","before_g":3.42,"after_g":3.35})"},
      {"coupon 20=20.33 100=99.47 sd 0.03 2026-03-05T18:00:00Z",
       R"({"type":"coupon","at":"2026-03-05T18:00:00Z","lengths":[)"
       R"({"design_mm":20,"measured_mm":20.33},{"design_mm":100,"measured_mm":99.47}],)"
       R"("caliper_sd_mm":0.03})"},
      {"purge 5pops strings of 100mm",
       R"({"type":"purge","at":"2026-03-05T20:00:00Z","pops":5,"strings":true,)"
       R"("length_mm":100})"},
      {"purge no pops at 19:30",
       R"({"type":"purge","at":"2026-03-05T19:30:00Z","pops":false})"},
      {"purge pops no strings",
       R"({"type":"purge","at":"2026-03-05T20:00:00Z","pops":true,"strings":false})"},
      {"purge 0pops", R"({"type":"purge","at":"2026-03-05T20:00:00Z","pops":0})"},
  };
  for (const auto& row : rows) {
    INFO(row.words);
    const auto event = logged(row.words);
    INFO((event ? "" : event.error().text()));
    REQUIRE(event.has_value());
    CHECK(event_json(*event).dump() == row.json);
    // And back: appended to a record it is read as it was written.
    const auto record = append_event(read(record_text("")), *event);
    REQUIRE(record.has_value());
    CHECK(start_of(record->events.front()) == start_of(*event));
    CHECK(record->events.front().index() == event->index());
  }
}

TEST_CASE("findings as typed that are wrong") {
  const struct {
    const char* words;
    const char* error;
  } rows[] = {
      {"piece 3.42g",
       "log piece: the piece's mass after drying is missing; write e.g. "
       "3.35g"},
      {"piece 3.42 3.35g",
       "log piece: the mass \"3.42\" has no unit; put g, kg, oz or lb behind the "
       "number"},
      {"piece 3.42g 3.35g dryed 80C",
       "log piece: unknown word \"dryed\"; did you mean dried? Known: scale, dried, "
       "at"},
      {"coupon 100=99.47 at 18:00",
       "log coupon: one length cannot tell scale from offset; print and measure two "
       "that differ, e.g. 20 and 100 mm"},
      {"coupon 20=20.33 100=99.47 sd 2",
       "log coupon: expected what the caliper repeats to, got \"2\"; write "
       "millimetres, e.g. 0.02"},
      {"purge",
       "log purge: it does not say what was heard or seen; write e.g. 5pops, "
       "no pops, strings or no strings"},
      {"purge no bubbles",
       "log purge: after \"no\" it does not say what was not there; write no pops or "
       "no strings"},
      {"purge pops of 100",
       "log purge: expected a length of filament, got \"100\"; write e.g. 100mm"},
      {"purge pips",
       "log purge: unknown word \"pips\"; did you mean pops? Known: pops, strings, "
       "no, of, at"},
  };
  for (const auto& row : rows) {
    INFO(row.words);
    const auto event = logged(row.words);
    REQUIRE_FALSE(event.has_value());
    CHECK(event.error().text() == row.error);
  }
}

TEST_CASE("findings that cannot be") {
  CHECK(spoilt("3.42", "3.42").empty());
  const struct {
    const char* piece;
    const char* by;
    const char* error;
  } rows[] = {
      {"\"after_g\": 3.35", "\"after_g\": 3.45",
       "F-03.json /events/1/after_g: the piece weighs more after drying, 3.45 g, than "
       "before, 3.42 g; swap or mend the two; where they differ by less than the scale "
       "tells, write the same twice"},
      {"\"before_g\": 3.42", "\"before_g\": 3420",
       "F-03.json /events/1/before_g: expected a number of grams from 0.05 to 200, "
       "got 3420; that looks like milligrams: write 3.42"},
      // pa6 saturates at 9.57 %; 1.25 times that and three deviations are refused.
      {"\"before_g\": 3.42", "\"before_g\": 3.80",
       "F-03.json /events/1/before_g: the piece lost 13.4 % of its dry mass, and pa6 "
       "holds 9.6 % when saturated; check both masses, their unit, and that nothing "
       "fell off"},
      {"\"before_g\": 3.42, \"after_g\": 3.35,\n   \"scale_sd_g\": 0.001, \"dried_c\": "
       "80},",
       "\"before_g\": 102, \"after_g\": 100}, {\"type\": \"print\", \"from\": "
       "\"2026-03-05T18:10:00Z\", \"to\": \"2026-03-05T18:20:00Z\", \"used_g\": "
       "880}, {\"type\": \"piece\", \"at\": \"2026-03-05T18:20:00Z\", "
       "\"before_g\": 51, \"after_g\": 50},",
       "F-03.json /events/3/before_g: a piece of 50.00 g is more than the 46.90 g the "
       "spool can have held then; check the masses and their unit"},
      {"\"dried_c\": 80", "\"dried_c\": 8",
       "F-03.json /events/1/dried_c: expected a number of degrees Celsius from 30 to "
       "200, got 8; write e.g. 80"},
      {"\"measured_mm\": 99.47", "\"measured_mm\": 3.916",
       "F-03.json /events/2/lengths: measured 3.916 mm is not near the drawn 100 mm; "
       "that looks like inches: write 100=99.47"},
      {"\"pops\": 5", "\"pops\": 2.5",
       "F-03.json /events/3/pops: expected a whole number of pops, got 2.5; write e.g. "
       "5, or true"},
      {"\"pops\": 5", "\"pops\": \"many\"",
       "F-03.json /events/3/pops: expected true or false, got \"many\"; write e.g. "
       "true"},
      {", \"pops\": false", "",
       "F-03.json /events/4: a purge says neither of pops nor of strings; write e.g. "
       "\"pops\": 5 or \"strings\": false"},
  };
  for (const auto& row : rows) {
    INFO(row.by);
    CHECK(spoilt(row.piece, row.by) == row.error);
  }
}

TEST_CASE("what findings use up, and what is odd about a piece") {
  const SpoolRecord record = read(findings_text());
  // 100 mm of 1.75 mm at 1130 kg/m3: 0.1 * pi/4 * 0.00175^2 * 1130 = 0.2718 g.
  CHECK(used_by_kg(record.events[1], 0.00175, 1130) == Approx(3.35e-3));
  CHECK(used_by_kg(record.events[2], 0.00175, 1130) == 0);
  CHECK(used_by_kg(record.events[3], 0.00175, 1130) == Approx(0.2718e-3).epsilon(1e-3));
  const struct {
    const char* words;
    const char* doubt;
  } rows[] = {
      {"piece 3.42g 3.35g scale 1mg dried 80C", ""},
      {"piece 3.42g 3.35g", ""},  // 10 mg: +- 0.4 %
      {"piece 3.4g 3.3g scale 0.1g",
       "a scale of +- 0.1 g tells the moisture of 3.30 g only to +- 4.3 %: is it a "
       "finer one, or can the piece be longer?"},
      {"piece 3.42g 3.35g scale 1mg dried 110C",
       "it was dried at 110 C and pa6 is rated for 85 C here: what else than water may "
       "have gone counts as water"},
  };
  for (const auto& row : rows) {
    INFO(row.words);
    const auto odd = doubts(record, *logged(row.words), pa6());
    CHECK((odd.empty() ? "" : odd.front()) == row.doubt);
  }
}

TEST_CASE("a piece taken off is no use that was not logged") {
  const std::string first =
      R"({"type": "weighing", "at": "2026-03-02T09:00:00Z", "gross_g": 1215,
          "scale_sd_g": 0.1},
         {"type": "piece", "at": "2026-03-02T10:00:00Z", "before_g": 30.6,
          "after_g": 30})";
  const Event lighter = Weighing{
      .at = utc("2026-03-02T11:00:00Z"), .gross_kg = 1.184, .scale_sd_kg = 0.0001};
  CHECK(doubts(read(record_text(first)), lighter, pa6()).empty());
  const std::string only_weighed = first.substr(0, first.find("},") + 1);
  CHECK(doubts(read(record_text(only_weighed)), lighter, pa6()).size() == 1);
}

}  // namespace drydepth
