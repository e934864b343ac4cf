#include "page/job_sheet.h"

#include <catch2/catch.hpp>

#include "base/wrap.h"
#include "guard/dried_spool.h"
#include "page/figures.h"
#include "page/html.h"
#include "report/unmeasured.h"
#include "report/words.h"

using namespace drydepth;

namespace {

struct Given {
  Spool dried = dried_spool();
  Report report{};
};

// A report of an invented job of 6 layers, with names as hostile as a file may have.
Given given(bool nominal) {
  Given out;
  Spool& dried = out.dried;
  dried.record.id = "K<7>&\"'";
  const Trace trace = plain_trace(6);
  const auto members =
      nominal ? nominal_member() : draw_members(dried.priors.spread, 16, 1);
  const auto curve =
      draw_curve(trace.tools[0], trace.duration_s, dried.record, dried.material);
  const SpoolRace race = run_race(dried, curve, three_feeds(), members, 1);
  out.report.version = "0.1.0";
  out.report.at = *parse_instant("2026-03-06T06:00:00Z");
  out.report.nominal = nominal;
  out.report.members = members.size();
  out.report.job_file = "<script>alert(1)</script>.gcode";
  out.report.job = trace;
  SpoolReport spool{};
  spool.of = dried;
  spool.now = race.now;
  spool.needed_kg = curve.back().mass_kg;
  spool.course = weight_course(dried, members, 1);
  for (const FeedRace& feed : race.feeds) {
    out.report.feeds.push_back(report_feed(trace, trace.tools[0], spool, feed,
                                           Limit::kCosmetic,
                                           feed.feed.feed == Feed::kOpen));
  }
  out.report.spools.push_back(spool);
  out.report.advice = advise(out.report);
  out.report.cautions = usual_cautions(out.report);
  return out;
}

bool has(const std::string& text, const std::string& piece) {
  return text.find(piece) != std::string::npos;
}

}  // namespace

TEST_CASE("job sheet: escaped, nothing fetched, nothing run, the same every time") {
  const Given g = given(false);
  const std::string page = job_sheet(g.report, utc_zone());
  CHECK(page == job_sheet(given(false).report, utc_zone()));
  CHECK(page.size() < 300'000);
  for (const char* piece : {"<script", "K<7>", "href", "src=", "@import", "url(http"}) {
    INFO(piece);
    CHECK_FALSE(has(page, piece));
  }
  for (const char* piece :
       {"<h1>Job sheet: &lt;script&gt;alert(1)&lt;/script&gt;.gcode</h1>",
        "content=\"default-src 'none'; style-src 'unsafe-inline'\"",
        "T0 from K&lt;7&gt;&amp;&quot;&#39;, feed open", "As of 2026-03-06 06:00 UTC",
        "Not measured", "signature", "drydepth 0.1.0"}) {
    INFO(piece);
    CHECK(has(page, piece));
  }
}

TEST_CASE("job sheet: figures only of what is told") {
  Given g = given(false);
  const std::string told = job_sheet(g.report, utc_zone());
  for (const char* id : {"race-t0-title", "depth-t0-title", "course-t0-title"}) {
    INFO(id);
    CHECK(has(told, id));
  }
  g.report.spools[0].told = false;
  for (FeedReport& f : g.report.feeds) f.verdict = Verdict::kCannotTell;
  const std::string untold = job_sheet(g.report, utc_zone());
  CHECK_FALSE(has(untold, "<svg"));
  CHECK(has(untold, "cannot-tell, the record says too little to tell."));
}

TEST_CASE("job sheet: a row a tool, figures of the one most likely to pass the limit") {
  Given g = given(false);
  Report& report = g.report;
  for (FeedReport& feed : report.feeds) feed.race.limits.cosmetic.share_above = 0.5;
  // Two more tools with the same spool: T1 will be above the limit, T2 is not told.
  for (const int tool : {1, 2}) {
    SpoolReport spool = report.spools[0];
    spool.tool = tool;
    spool.of.record.id = "S-" + std::to_string(tool);
    spool.told = tool != 2;
    report.spools.push_back(spool);
    for (std::size_t k = 0; k < 3; ++k) {
      FeedReport feed = report.feeds[k];
      feed.tool = tool;
      feed.verdict = tool == 1 ? Verdict::kWillCross : Verdict::kCannotTell;
      feed.race.limits.cosmetic.share_above = 1;
      report.feeds.push_back(feed);
    }
  }
  const std::string page = job_sheet(report, utc_zone());
  for (const char* piece :
       {"<main class=\"many\">", "race-t1-title", "depth-t1-title",
        "Feeds of T1, the tool most likely to pass the limit",
        "<h2 data-json=\"/feeds/3/verdict\">will-cross</h2>",
        "<td data-json=\"/spools/2/id\">S-2, pa6</td>",
        "<td data-json=\"/feeds/6/verdict\">cannot-tell</td>",
        "All tools: The dryer&#39;s air was set, not logged at the spool."}) {
    INFO(piece);
    CHECK(has(page, piece));
  }
  for (const char* piece : {"race-t0-title", "race-t2-title", "/feeds/6/share_above",
                            "/spools/2/mean_percent"}) {
    INFO(piece);
    CHECK_FALSE(has(page, piece));
  }
}

TEST_CASE("a unit stays with its number") {
  struct Row {
    const char *said, *held;
  };
  const Row rows[] = {{"", ""},
                      {"186 g needed", "186\u00a0g needed"},
                      {"0.50 % (23 C, 45 %)", "0.50\u00a0% (23\u00a0C, 45\u00a0%)"},
                      {"11 h 06 min", "11\u00a0h 06\u00a0min"},
                      {"2 tools, T0 from g", "2 tools, T0 from g"},
                      {"ends 7 ", "ends 7 "}};
  for (const Row& row : rows) {
    INFO(row.said);
    CHECK(held_together(row.said) == row.held);
  }
}

TEST_CASE("job sheet: one run has no ranges") {
  const std::string page = job_sheet(given(true).report, utc_zone());
  CHECK_FALSE(has(page, "p10"));
  CHECK_FALSE(has(page, "class=\"band"));
  CHECK(has(page, "one run at central values"));
}

TEST_CASE("the course of a spool ends where the spool stands") {
  const Given g = given(true);
  const Course& course = *g.report.spools[0].course;
  REQUIRE(course.dried_from);
  CHECK(seconds_between(*course.dried_from, *course.dried_to) == 12 * 3600);
  CHECK(course.points.front().at == g.dried.timeline.from);
  CHECK(course.points.back().at == g.dried.timeline.to);
  CHECK(course.points.front().mean.p50 == Approx(0.028));
  // The replay stops at each moment, and so steps a little differently.
  CHECK(course.points.back().mean.p50 ==
        Approx(g.report.spools[0].now.mean.p50).margin(1e-5));
  // Dry polymer, its water and the body; and what dries gets lighter.
  const CoursePoint& last = course.points.back();
  CHECK(last.gross_kg.p50 ==
        Approx(g.report.spools[0].now.remaining_kg * (1 + last.mean.p50) + 0.214));
  for (std::size_t k = 1; k < course.points.size(); ++k) {
    CHECK(course.points[k].gross_kg.p50 < course.points[k - 1].gross_kg.p50);
  }
}

TEST_CASE("what nobody measured is said") {
  Given g = given(false);
  SpoolReport& spool = g.report.spools[0];
  const auto said = [&](const char* piece) {
    for (const std::string& s : unmeasured(spool)) {
      if (has(s, piece)) return true;
    }
    return false;
  };
  CHECK(said("never weighed"));
  CHECK(said("set, not logged"));
  CHECK(said("outer wraps"));
  CHECK_FALSE(said("body was not weighed"));
  spool.of.record.body.tare_kg.reset();
  CHECK(said("body was not weighed"));
  spool.of.timeline.readings.push_back({.at = spool.of.timeline.from});
  CHECK_FALSE(said("never weighed"));
  CHECK(said("not weighed after its last drying"));
}
