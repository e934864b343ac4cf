#include "guard/glance.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"

using namespace drydepth;

namespace {

bool same(const Percentiles& a, const Percentiles& b) {
  return a.p10 == b.p10 && a.p50 == b.p50 && a.p90 == b.p90;
}

}  // namespace

TEST_CASE("a glance has the numbers that the race begins with") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 33, 1);
  const SpoolRace race = run_race(dried, {}, {}, members, 2);
  for (const unsigned threads : {1U, 3U}) {
    const Glance cosmetic = glance(dried, dried.limits.cosmetic, members, threads);
    CHECK(same(cosmetic.mean, race.now.mean));
    CHECK(same(cosmetic.depth_kg, race.now.depth_kg.cosmetic));
    CHECK(cosmetic.foreseen_kg.empty());
  }
  const Glance strength = glance(dried, dried.limits.strength, members, 2);
  CHECK(same(strength.depth_kg, race.now.depth_kg.strength));
}

TEST_CASE("a glance foresees the scale as each member does") {
  Spool dried = dried_spool();
  const Instant end = dried.timeline.to;
  dried.timeline.readings = {{.at = end - Seconds(12 * 3600), .gross_kg = 1.2},
                             {.at = end, .gross_kg = 1.2}};
  const Glance seen = glance(dried, dried.limits.cosmetic, nominal_member(), 1);
  REQUIRE(seen.foreseen_kg.size() == 2);
  PackSolver solver = spool_solver(dried, Member{});
  const Life life = replay(solver, dried, Member{});
  CHECK(seen.foreseen_kg[0].p50 ==
        foreseen_kg(life.readings[0], dried.priors, Member{}, 0));
  CHECK(seen.foreseen_kg[1].p50 ==
        foreseen_kg(life.readings[1], dried.priors, Member{}, 0.5));
  // Twelve hours at 82 C take about 15 g of water out of such a spool (the model's
  // reference run, docs/model.md: a mean of 2.8 to some 1.3 % of 978 g).
  const double lost = seen.foreseen_kg[0].p50 - seen.foreseen_kg[1].p50;
  CHECK(lost == Approx(0.015).margin(0.004));
}

TEST_CASE("a weighing behind a respool is foreseen as wide as its tare is open") {
  Spool dried = dried_spool();
  Respool respool{.at = dried.timeline.to};
  respool.body.kind = "pc";
  dried.record.events.emplace_back(respool);
  Span span;
  span.from = span.to = respool.at;
  span.air = dried.room;
  span.event = dried.record.events.size() - 1;
  span.respool = true;
  dried.timeline.spans.push_back(span);
  dried.priors.later_bodies = {{.tare_kg = 0.19, .tare_sd_kg = 0.003}};
  const ScaleReading first{
      .at = respool.at, .gross_kg = 1.2, .scale_sd_kg = 1e-6, .event = *span.event + 1};
  dried.timeline.readings = {first, first};
  dried.timeline.readings[1].event = *span.event + 2;
  const Glance seen = glance(dried, dried.limits.cosmetic, nominal_member(), 1);
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
