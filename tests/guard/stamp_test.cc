#include "guard/stamp.h"

#include <catch2/catch.hpp>
#include <functional>

#include "guard/dried_spool.h"

using namespace drydepth;

namespace {

const char* const kRecord = R"({"format": "drydepth-spool/1", "id": "K-07",
  "material": "pa6", "filament": {"diameter_mm": 1.75},
  "winding": {"hub_diameter_mm": 80, "width_mm": 55, "full_net_g": 978},
  "body": {"kind": "pc", "tare_g": 214},
  "events": [{"type": "drying", "from": "2026-03-05T18:00:00Z",
              "to": "2026-03-06T06:00:00Z", "air": {"temperature_c": 82}},
             {"type": "weighing", "at": "2026-03-06T06:05:00Z", "gross_g": 1205.0}]})";

SpoolDigest digest_of(const std::string& text) {
  const auto record = read_record(text, "K-07.json");
  REQUIRE(record);
  return digest_spool(*record, "rules");
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

Stamp stamp_of(const std::string& id) {
  Stamp out{.version = "0.1.0",
            .at = *parse_instant("2026-03-06T06:30:00Z"),
            .until = *parse_instant("2026-03-06T07:15:00Z"),
            .job = {std::string(64, 'a'), 5'901'234},
            .edits = "0123456789abcdef",
            .firmware = "marlin"};
  SpoolStamp spool{.tool = 3, .id = id};
  spool.digest = digest_of(kRecord);
  spool.verdict = "will-cross";
  spool.print = {.kind = SpanKind::kPrint,
                 .from = out.at,
                 .to = out.at + Seconds(39'960),
                 .air = HeaterAir{348.15, StatedAir{296.15, 0.45}, {}, {}},
                 .used_kg = 0.18611,
                 .feed = Feed::kLiveDryer,
                 .job = "a=b.gcode"};
  out.spools.push_back(spool);
  return out;
}

Block note(const std::vector<std::string>& lines) {
  return {.line = 30, .action = "note", .lines = lines};
}

}  // namespace

TEST_CASE("a stamp comes back from its lines whole") {
  const std::vector<std::string> ids{"K-07", "a = b; c", "\xC3\xBC \"quoted\" \\",
                                     std::string(300, 'x')};
  for (const std::string& id : ids) {
    INFO(id);
    const Stamp stamp = stamp_of(id);
    std::vector<std::string> lines = stamp_lines(stamp);
    for (const std::string& line : lines) {
      INFO(line);
      CHECK(line.size() < 80);
      CHECK(line.find('=') == std::string::npos);
      for (const char c : line) CHECK((c >= ' ' && c <= '~'));
    }
    lines.insert(lines.begin(), ";drydepth: something else");
    const auto back = read_stamp({note(lines)}, "job.gcode");
    REQUIRE(back);
    REQUIRE(*back);
    CHECK((*back)->at == stamp.at);
    CHECK((*back)->until == stamp.until);
    CHECK((*back)->job == stamp.job);
    CHECK((*back)->edits == stamp.edits);
    CHECK((*back)->firmware == stamp.firmware);
    REQUIRE((*back)->spools.size() == 1);
    const SpoolStamp& spool = (*back)->spools[0];
    CHECK(spool.tool == 3);
    CHECK(spool.id == id);
    CHECK(spool.digest == stamp.spools[0].digest);
    CHECK(spool.verdict == "will-cross");
    CHECK(spool.print.from == stamp.at);
    CHECK(spool.print.to == stamp.spools[0].print.to);
    CHECK(spool.print.used_kg == Approx(0.18611).epsilon(1e-12));
    CHECK(spool.print.feed == Feed::kLiveDryer);
    CHECK(spool.print.air == stamp.spools[0].print.air);
    CHECK(spool.print.job == "a=b.gcode");
  }
}

TEST_CASE("no stamp is nothing, a broken one an error with its place") {
  CHECK_FALSE(*read_stamp({}, "job.gcode"));
  CHECK_FALSE(*read_stamp({note({";drydepth: no stamp"})}, "job.gcode"));
  auto lines = stamp_lines(stamp_of("K-07"));
  lines.pop_back();
  const std::vector<std::string> other{
      ";drydepth:stamp {\"stamp\":2,\"version\":\"9.1\"}"};
  CHECK(read_stamp({note(other)}, "job.gcode").error().text() ==
        "job.gcode:30: the stamp is of form 2, written by drydepth 9.1, and this one "
        "reads form 1; use that version, or guard the job again with this one");
  for (const auto& broken :
       {lines, std::vector<std::string>{";drydepth:stamp {\"stamp\":1}"},
        std::vector<std::string>{";drydepth:stamp {\"stamp\":\"1\"}"},
        std::vector<std::string>{";drydepth:stamp [1]"}}) {
    const auto read = read_stamp({note(broken)}, "job.gcode");
    REQUIRE_FALSE(read);
    CHECK(
        read.error().text() ==
        "job.gcode:30: the stamp of this drydepth block cannot be read; guard the job "
        "again, with one version of drydepth");
    CHECK(read.error().exit_code == 65);
  }
}

TEST_CASE("what became of a record is said by kinds of events") {
  const std::string weighing =
      R"(, {"type": "weighing", "at": "2026-03-06T07:05:00Z", "gross_g": 1206.0})";
  const std::string storage =
      R"(, {"type": "storage", "from": "2026-03-06T06:10:00Z"})";
  const std::string last = R"("gross_g": 1205.0})";
  const struct {
    const char* label;
    std::string text;
    std::vector<std::string> changes;
  } rows[] = {
      {"same", kRecord, {}},
      {"other layout and order of keys",
       replaced(replaced(kRecord, "\n", "\n\n  "), R"("kind": "pc", "tare_g": 214)",
                R"("tare_g": 214, "kind": "pc")"),
       {}},
      {"weighing", replaced(kRecord, last, last + weighing), {"1 weighing added"}},
      {"two and one",
       replaced(kRecord, last,
                last + storage + weighing + replaced(weighing, "07:05", "08:05")),
       {"2 weighings added", "1 storage added"}},
      {"taken out",
       replaced(kRecord,
                R"(,
             {"type": "weighing", "at": "2026-03-06T06:05:00Z", "gross_g": 1205.0})",
                ""),
       {"1 weighing taken out"}},
      {"changed", replaced(kRecord, "1205.0", "1204.0"), {"an event was changed"}},
      {"tare",
       replaced(kRecord, R"("tare_g": 214)", R"("tare_g": 215)"),
       {"its description of the spool was changed"}},
  };
  const SpoolStamp stamp = stamp_of("K-07").spools[0];
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(changes_since(stamp, digest_of(row.text)) == row.changes);
  }
}

TEST_CASE("rules and logged air belong to what was checked") {
  auto record = *read_record(kRecord, "K-07.json");
  const SpoolStamp stamp = stamp_of("K-07").spools[0];
  CHECK(changes_since(stamp, digest_spool(record, "other rules")) ==
        std::vector<std::string>{"the rules for it have changed"});
  record.air_logs[0].readings.push_back({.temperature_k = 350});
  CHECK(changes_since(stamp, digest_spool(record, "rules")) ==
        std::vector<std::string>{"an event was changed"});
}

TEST_CASE("a start outside the checked time is doubted") {
  const Stamp stamp = stamp_of("K-07");
  const struct {
    const char* at;
    const char* doubt;
  } rows[] = {{"2026-03-06T06:29:59Z",
               "it was checked for a start at 2026-03-06T06:30:00Z, which lies ahead"},
              {"2026-03-06T06:30:00Z", ""},
              {"2026-03-06T07:15:00Z", ""},
              {"2026-03-06T07:15:01Z",
               "the time it was checked for ran out at 2026-03-06T07:15:00Z"}};
  for (const auto& row : rows) {
    INFO(row.at);
    CHECK(time_doubt(stamp, *parse_instant(row.at)) == row.doubt);
  }
}

TEST_CASE("a print has one name for its job and its start") {
  Stamp stamp = stamp_of("K-07");
  CHECK(print_name(stamp) == "aaaaaaaaaaaaaaaa 2026-03-06T06:30:00Z");
  SpoolRecord record = *read_record(kRecord, "K-07.json");
  CHECK_FALSE(counts_print(record, print_name(stamp)));
  Interval print = stamp.spools[0].print;
  print.stamp = print_name(stamp);
  record.events.push_back(print);
  CHECK(counts_print(record, print_name(stamp)));
  stamp.at += Seconds(1);
  CHECK_FALSE(counts_print(record, print_name(stamp)));
}
