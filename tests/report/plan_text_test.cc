#include "report/plan/plan_text.h"

#include <catch2/catch.hpp>

#include "base/json_value.h"
#include "guard/dried_spool.h"
#include "report/plan/plan_json.h"

using namespace drydepth;

namespace {

const HeaterAir kLive{348.15, StatedAir{296.15, 0.45}, {}, {}};

// The tests' spool at 06:00, and two jobs of 54 g each with half an hour between.
PlanReport plan(double job_metres, unsigned threads = 0) {
  const Spool dried = dried_spool();
  PlanReport out;
  out.head.at = dried.timeline.to;
  out.head.members = 40;
  out.queue = make_queue(
      {{.name = "a.gcode", .trace = plain_trace(static_cast<int>(job_metres / 10))},
       {.name = "b.gcode", .trace = plain_trace(2)}},
      1800);
  SpoolPlan p;
  p.spool = {.of = dried};
  p.frame = {.feeds = three_feeds(), .dryer = kLive, .ceiling_k = 358.15};
  const auto members = draw_members(dried.priors.spread, 40, 1);
  const auto job = queue_curve(out.queue, 0, dried.record, dried.material);
  const auto starts = start_members(dried, members, threads);
  p.spool.now = estimate_of(starts);
  p.choices =
      find_choices({dried, job, dried.limits.cosmetic, starts, threads}, p.frame);
  p.others = {{.id = "B", .left_kg = 0.5, .told = false, .chances = {0.0, 0.0, 0.0}},
              {.id = "D", .left_kg = 0.6, .told = true, .chances = {0.8, 0.5, 0.04}},
              {.id = "C", .left_kg = 0.7, .told = true, .chances = {0.8, 0.5, 0.3}}};
  rank_others(p);
  out.plans.push_back(p);
  out.head.spools = {p.spool};
  out.head.cautions = plan_cautions(out);
  return out;
}

std::size_t longest_line(const std::string& text) {
  std::size_t longest = 0, start = 0;
  for (std::size_t end; (end = text.find('\n', start)) != std::string::npos;
       start = end + 1) {
    longest = std::max(longest, end - start);
  }
  return longest;
}

bool has(const std::string& text, const char* part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a plan says what it takes, by hours and effort, on 80 columns") {
  const PlanReport report = plan(40);
  const std::string text = plan_text(report, utc_zone());
  CAPTURE(text);
  CHECK(longest_line(text) <= 80);
  CHECK(has(text, "Jobs     1  a.gcode, 4 h 27 min, 4 layers, start 2026-03-06 06:00"));
  CHECK(has(text, "         2  b.gcode, 2 h 13 min, 2 layers, start 2026-03-06 10:56"));
  CHECK(text.find("now, open") < text.find("now, dry-box"));
  CHECK(text.find("now, dry-box") < text.find("now, live-dryer 75 C"));
  CHECK(has(text, "Do not leave a hot dryer or a hot nozzle alone"));
  for (const char* word : {" safe", " is dry", " be dry"}) CHECK_FALSE(has(text, word));
}

TEST_CASE("the shelf's spools are ranked by chance, unknown ones last") {
  const PlanReport report = plan(40);
  const auto& others = report.plans[0].others;
  CHECK(others[0].id == "D");
  CHECK(others[1].id == "C");
  CHECK(others[2].id == "B");
  const std::string text = plan_text(report, utc_zone());
  CAPTURE(text);
  CHECK(has(text, "+ D           80 %         50 %              4 %  600 g"));
  CHECK(has(text, "  B    cannot tell  cannot tell      cannot tell  500 g"));
}

TEST_CASE("a plan's data is the same bytes on any number of threads") {
  const std::string one = plan_json(plan(40, 1)).dump();
  CHECK(plan_json(plan(40, 2)).dump() == one);
  CHECK(plan_json(plan(40, 5)).dump() == one);
}

TEST_CASE("a plan's data names every way with its chance and what was found of it") {
  const Json json = plan_json(plan(40));
  CHECK(json["format"] == "drydepth-plan/1");
  CHECK(json["jobs"].size() == 2);
  const Json& spool = json["spools"][0];
  CHECK(spool["enough"] == true);
  for (const Json& c : spool["choices"]) {
    INFO(c.dump());
    CHECK(c["suffices"] == (c["chance"].get<double>() < 0.1));
    CHECK(c["suffices"] == c["obstacle"].is_null());
    CHECK(c["suffices"] == c["carries_to"].is_null());
    if (c.contains("hours")) CHECK(c["hours"].is_null() == c["start"].is_null());
  }
}

TEST_CASE("too little filament is said, and that no drying helps") {
  const std::string text = plan_text(plan(400), utc_zone());
  CAPTURE(text);
  CHECK(has(text, "First    the spool holds 978 g of 1142 g: no drying makes that"));
  CHECK(has(text, "or now with D from live-dryer 75 C: chance 4 %"));
}
