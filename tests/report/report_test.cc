#include "report/report.h"

#include <catch2/catch.hpp>

#include "base/json_value.h"
#include "base/wrap.h"
#include "guard/dried_spool.h"
#include "report/estimate_text.h"
#include "report/json.h"
#include "report/note.h"
#include "report/text.h"
#include "report/words.h"

using namespace drydepth;

namespace {

Report small_report(const std::string& id, bool nominal) {
  Spool dried = dried_spool();
  dried.record.id = id;
  const Trace trace = plain_trace(6);
  const auto members =
      nominal ? nominal_member() : draw_members(dried.priors.spread, 32, 1);
  const auto curve =
      draw_curve(trace.tools[0], trace.duration_s, dried.record, dried.material);
  const SpoolRace race = run_race(dried, curve, three_feeds(), members, 1);
  Report out{.version = "0.1.0",
             .at = *parse_instant("2026-03-06T06:00:00Z"),
             .nominal = nominal,
             .members = members.size(),
             .job_file = "housing.gcode",
             .job = trace};
  out.spools.push_back(
      {.of = dried, .now = race.now, .needed_kg = curve.back().mass_kg});
  for (const FeedRace& feed : race.feeds) {
    out.feeds.push_back(report_feed(trace, trace.tools[0], out.spools[0], feed,
                                    Limit::kCosmetic, feed.feed.feed == Feed::kOpen));
  }
  out.advice = advise(out);
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace

TEST_CASE("numbers and places as people read them") {
  CHECK(grams_text(0.1861) == "186 g");
  CHECK(grams_text(0.00406) == "4.1 g");
  CHECK(percent_text(0.0028) == "0.28 %");
  CHECK(share_text(0.967) == "97 %");
  CHECK(duration_text(39948) == "11 h 06 min");
  CHECK(duration_text(826) == "14 min");
  CHECK(metres_text(68474.1) == "68.5 m");
  Report report;
  report.at = *parse_instant("2026-03-06T22:30:00Z");
  const CrossingPlace at{0.083, {.time_s = 7200, .layer = 95}};
  CHECK(crossing_text(report, at, utc_zone()) == "83 g L96 +1d 00:30");
  CHECK(crossing_text(report, std::nullopt, utc_zone()) == "never");
}

TEST_CASE("text breaks at blanks only") {
  CHECK(wrap_text("one two three", 7) == std::vector<std::string>{"one two", "three"});
  CHECK(wrap_text("unbreakable x", 4) == std::vector<std::string>{"unbreakable", "x"});
  CHECK(wrap_text("about 0.03 %, no", 9) ==
        std::vector<std::string>{"about", "0.03 %,", "no"});
  CHECK(wrap_text("", 10).empty());
}

TEST_CASE("the block in the job is plain, short and no setting, whatever the names") {
  for (const std::string& id :
       {std::string("K-07"), std::string(300, 'x'),
        std::string("; layer_height = 0.2\nG28"), std::string("caf\xc3\xa9 \x01")}) {
    INFO(id);
    for (const std::string& line : note_lines(small_report(id, false))) {
      INFO(line);
      CHECK(line.size() < 80);
      CHECK(line.starts_with(";drydepth: "));
      CHECK(line.find('=') == std::string::npos);
      for (const char c : line) CHECK((c >= ' ' && c <= '~'));
    }
  }
}

TEST_CASE("the terminal text keeps to 80 columns and a screen") {
  const std::string text = report_text(small_report("K-07", false), utc_zone());
  std::size_t lines = 0, start = 0;
  while (start < text.size()) {
    const std::size_t end = text.find('\n', start);
    INFO(text.substr(start, end - start));
    CHECK(end - start <= 80);
    start = end + 1;
    ++lines;
  }
  CHECK(lines <= 45);
  CHECK(text.find(" dry ") == std::string::npos);  // never said as a fact
  CHECK(text.find("safe") == std::string::npos);
}

TEST_CASE("the report holds the keys that others rely on") {
  const Json json = report_json(small_report("K-07", false));
  for (const char* pointer : {"/job/tools/0/tool",
                              "/job/tools/0/length_mm",
                              "/job/tools/0/stated_length_mm",
                              "/job/tools/0/mass_g",
                              "/job/duration_s",
                              "/job/duration_source",
                              "/job/layers",
                              "/job/slicer",
                              "/job/firmware",
                              "/spools/0/tool",
                              "/spools/0/id",
                              "/spools/0/mean_percent/p10",
                              "/spools/0/dry_depth/p50/wraps",
                              "/spools/0/dry_depth/p50/m",
                              "/spools/0/dry_depth/p90/g",
                              "/spools/0/valid_until",
                              "/feeds/0/tool",
                              "/feeds/0/feed",
                              "/feeds/0/verdict",
                              "/feeds/0/share_above",
                              "/feeds/0/crossing/cosmetic/p10/g",
                              "/feeds/0/crossing/cosmetic/p10/m",
                              "/feeds/0/crossing/cosmetic/p10/time_s",
                              "/feeds/0/crossing/cosmetic/p10/line",
                              "/feeds/0/crossing/cosmetic/p10/layer",
                              "/feeds/0/crossing/strength/p50",
                              "/feeds/0/nozzle/0/percent/p90",
                              "/feeds/0/nozzle/0/line",
                              "/edits",
                              "/advice"}) {
    INFO(pointer);
    CHECK(json.contains(Json::json_pointer(pointer)));
  }
}

TEST_CASE("nominal turns every range into one number") {
  const Json json = report_json(small_report("K-07", true));
  CHECK(json["spools"][0]["mean_percent"].is_number());
  CHECK(json["spools"][0]["dry_depth"]["g"].is_number());
  CHECK(json["feeds"][0]["nozzle"][0]["percent"].is_number());
  CHECK(json.dump().find("p50") == std::string::npos);
}
