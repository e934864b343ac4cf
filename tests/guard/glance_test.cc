#include "guard/glance.h"

#include <catch2/catch.hpp>

#include "guard/contest.h"

using namespace drydepth;

namespace {

bool same(const Percentiles& a, const Percentiles& b) {
  return a.p10 == b.p10 && a.p50 == b.p50 && a.p90 == b.p90;
}

}  // namespace

TEST_CASE("a glance has the numbers that the race begins with") {
  const Contest contest = dried_contest();
  const auto members = draw_members(contest.priors.spread, 33, 1);
  const SpoolRace race = run_race(contest, {}, {}, members, 2);
  for (const unsigned threads : {1U, 3U}) {
    const Glance cosmetic = glance(contest, contest.limits.cosmetic, members, threads);
    CHECK(same(cosmetic.mean, race.now.mean));
    CHECK(same(cosmetic.depth_kg, race.now.cosmetic_depth_kg));
    CHECK(cosmetic.foreseen_kg.empty());
  }
  const Glance strength = glance(contest, contest.limits.strength, members, 2);
  CHECK(same(strength.depth_kg, race.now.strength_depth_kg));
}

TEST_CASE("a glance foresees the scale as each member does") {
  Contest contest = dried_contest();
  const Instant end = contest.timeline.to;
  contest.timeline.readings = {{.at = end - Seconds(12 * 3600), .gross_kg = 1.2},
                               {.at = end, .gross_kg = 1.2}};
  const Glance seen = glance(contest, contest.limits.cosmetic, nominal_member(), 1);
  REQUIRE(seen.foreseen_kg.size() == 2);
  PackSolver solver = spool_solver(contest.record, contest.material, Member{});
  const Life life =
      replay(solver, contest.record, contest.priors, contest.timeline, Member{});
  CHECK(seen.foreseen_kg[0].p50 ==
        foreseen_kg(life.readings[0], contest.priors, Member{}, 0));
  CHECK(seen.foreseen_kg[1].p50 ==
        foreseen_kg(life.readings[1], contest.priors, Member{}, 0.5));
  // Twelve hours at 82 C take about 15 g of water out of such a spool (the model's
  // reference run, docs/model.md: a mean of 2.8 to some 1.3 % of 978 g).
  const double lost = seen.foreseen_kg[0].p50 - seen.foreseen_kg[1].p50;
  CHECK(lost == Approx(0.015).margin(0.004));
}

TEST_CASE("a weighing behind a respool is foreseen as wide as its tare is open") {
  Contest contest = dried_contest();
  Respool respool{.at = contest.timeline.to};
  respool.body.kind = "pc";
  contest.record.events.emplace_back(respool);
  Span span;
  span.from = span.to = respool.at;
  span.air = contest.room;
  span.event = contest.record.events.size() - 1;
  span.respool = true;
  contest.timeline.spans.push_back(span);
  contest.priors.later_bodies = {{.tare_kg = 0.19, .tare_sd_kg = 0.003}};
  const ScaleReading first{
      .at = respool.at, .gross_kg = 1.2, .scale_sd_kg = 1e-6, .event = *span.event + 1};
  contest.timeline.readings = {first, first};
  contest.timeline.readings[1].event = *span.event + 2;
  const Glance seen = glance(contest, contest.limits.cosmetic, nominal_member(), 1);
  REQUIRE(seen.foreseen_kg.size() == 2);
  // The one member foresees a number; 80 % of a normal lie within 1.2816 of its sd.
  const Percentiles& open = seen.foreseen_kg[0];
  CHECK(open.p90 - open.p50 == Approx(1.2816 * 0.003).epsilon(1e-4));
  CHECK(open.p50 - open.p10 == Approx(1.2816 * 0.003).epsilon(1e-4));
  // The next one is seen against it: the tare is whatever makes that one true.
  const Percentiles& known = seen.foreseen_kg[1];
  CHECK(known.p50 == Approx(1.2).margin(2e-6));
  CHECK(known.p90 - known.p10 < 1e-5);
}
