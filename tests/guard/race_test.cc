#include "guard/race.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "guard/verdict.h"
#include "moisture/pack_state.h"

using namespace drydepth;

namespace {

bool same(const Percentiles& a, const Percentiles& b) {
  return a.p10 == b.p10 && a.p50 == b.p50 && a.p90 == b.p90;
}

}  // namespace

TEST_CASE("a race is the same to the bit on one, two and seven threads") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 33, 1);
  const SpoolRace one = run_race(dried, steady(0.2), three_feeds(), members, 1);
  for (const unsigned threads : {2U, 7U}) {
    const SpoolRace more =
        run_race(dried, steady(0.2), three_feeds(), members, threads);
    CHECK(same(one.now.mean, more.now.mean));
    for (std::size_t f = 0; f < 3; ++f) {
      CHECK(one.feeds[f].limits.cosmetic.crossing_kg ==
            more.feeds[f].limits.cosmetic.crossing_kg);
      for (std::size_t k = 0; k < one.feeds[f].nozzle.size(); ++k) {
        CHECK(same(one.feeds[f].nozzle[k].content, more.feeds[f].nozzle[k].content));
      }
    }
  }
}

TEST_CASE("one member at central values is the model's own run") {
  const Spool dried = dried_spool();
  const SpoolRace race =
      run_race(dried, steady(0.45), three_feeds(), nominal_member(), 1);
  PackSolver solver = spool_solver(dried, Member{});
  PackState state = replay(solver, dried, {}).state;
  CHECK(race.now.mean.p50 == mean_content(solver.model(), state));
  CHECK(race.now.mean.p10 == race.now.mean.p90);
  CHECK(race.now.layers.front().content.p50 ==
        layer_content(solver.model(), state, state.layers - 1));
  state.step_s = 0;
  const auto curve = steady(0.45);
  const DrawResult drawn = draw(
      solver, state, surroundings(three_feeds()[0].air, false, dried, Member{}), curve);
  REQUIRE(race.feeds[0].nozzle.size() == drawn.samples.size());
  CHECK(race.feeds[0].nozzle.back().content.p50 == drawn.samples.back().content);
}

TEST_CASE("the same spool crosses from open air and fares better from a live dryer") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 64, 1);
  const SpoolRace race = run_race(dried, steady(0.45), three_feeds(), members, 0);
  const double open = race.feeds[0].limits.cosmetic.share_above;
  const double box = race.feeds[1].limits.cosmetic.share_above;
  const double live = race.feeds[2].limits.cosmetic.share_above;
  CHECK(open > 0.9);
  CHECK(box <= open);
  CHECK(live < 0.5);
  for (const FeedRace& f : race.feeds) {
    INFO(feed_name(f.feed.feed));
    const CrossingKg& c = f.limits.cosmetic.crossing_kg;
    if (c[0] && c[1]) CHECK(*c[0] <= *c[1]);
    if (!c[1]) CHECK(!c[2]);
    CHECK(f.limits.strength.share_above >=
          f.limits.cosmetic.share_above);  // the lower limit
    CHECK(f.limits.cosmetic.above_kg.p10 <= f.limits.cosmetic.above_kg.p90);
  }
}

TEST_CASE("a spool that holds less than the job says how much it holds") {
  const Spool dried = dried_spool();
  const SpoolRace race =
      run_race(dried, steady(1.2), three_feeds(), nominal_member(), 1);
  REQUIRE(race.feeds[0].ran_out_kg);
  CHECK(*race.feeds[0].ran_out_kg == Approx(0.978).epsilon(1e-9));
  CHECK_FALSE(run_race(dried, steady(0.5), three_feeds(), nominal_member(), 1)
                  .feeds[0]
                  .ran_out_kg);
}

TEST_CASE("a depth ends when it has fallen by a fifth or under what the job needs") {
  SpoolEstimate e;
  e.later = {{0, {0.100, 0}}, {3600, {0.090, 0}}, {7200, {0.060, 0}}, {9000, {}}};
  const auto cosmetic = Limit::kCosmetic;
  CHECK(*valid_for_s(e, cosmetic, 0) == Approx(4800));      // 80 g
  CHECK(*valid_for_s(e, cosmetic, 0.095) == Approx(1800));  // what the job needs
  CHECK(*valid_for_s(e, cosmetic, 0.150) == Approx(4800));  // never reached: a fifth
  CHECK_FALSE(valid_for_s(e, Limit::kStrength, 0));
  e.later.resize(2);
  CHECK_FALSE(valid_for_s(e, cosmetic, 0));
}

TEST_CASE("a dried spool left in the room loses its depth") {
  const Spool dried = dried_spool();
  const SpoolRace race = run_race(dried, {}, {}, nominal_member(), 1);
  const auto seconds = valid_for_s(race.now, Limit::kCosmetic, 0);
  REQUIRE(seconds);
  CHECK(*seconds > 600);
  CHECK(*seconds < 2 * 86400);
}

TEST_CASE("length decides what a job takes from a spool") {
  const Spool dried = dried_spool();
  const Trace trace = plain_trace(3);
  const auto curve =
      draw_curve(trace.tools[0], trace.duration_s + 60, dried.record, dried.material);
  // 30 m of 1.75 mm at 1130 kg/m3: 30 * 1130 * pi * 0.00175^2 / 4 = 81.54 g.
  CHECK(curve.back().mass_kg == Approx(0.081540).epsilon(1e-4));
  CHECK(curve.back().time_s == trace.duration_s + 60);
  CHECK(curve.front().mass_kg == 0);
}

TEST_CASE("verdicts change at 10 and 90 percent") {
  const struct {
    double share;
    Verdict verdict;
  } rows[] = {{0, Verdict::kStaysDry},    {0.0999, Verdict::kStaysDry},
              {0.1, Verdict::kMayCross},  {0.8999, Verdict::kMayCross},
              {0.9, Verdict::kWillCross}, {1, Verdict::kWillCross}};
  for (const auto& row : rows) {
    INFO(row.share);
    CHECK(judge(row.share) == row.verdict);
  }
}

TEST_CASE("a hand on the speed and one on the flow eat the spool alike") {
  // 26 g an hour either way; with more flow the job takes more in all.
  const Spool dried = dried_spool();
  const FeedAir open = three_feeds()[0];
  const auto starts = start_members(dried, nominal_member(), 1);
  const double limit = dried.limits.cosmetic;
  const Hand turns[] = {{}, {.speed = 1.3}, {.flow = 1.3}, {.speed = 0.5}};
  const auto hands = race_hands(dried, starts, steady(0.3), open, turns, limit, 1);
  const auto crossing = [&](std::size_t h) {
    REQUIRE(hands[h].crossing_kg[1]);
    return *hands[h].crossing_kg[1];
  };
  CHECK(crossing(1) == Approx(crossing(2)).epsilon(0.02));
  CHECK(crossing(1) > crossing(0));  // less time in the open room
  CHECK(crossing(3) < crossing(0));
  const auto fast = by_hand(steady(0.3), {.speed = 1.3});
  CHECK(fast.back().time_s == Approx(0.3 / 0.026 * 3600.0));
  CHECK(by_hand(steady(0.3), {.flow = 1.3}).back().mass_kg == Approx(0.39));
}

TEST_CASE("a run that ends where it crosses finds what the whole race finds") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 33, 1);
  const auto starts = start_members(dried, members, 2);
  const auto feeds = three_feeds();
  const Hand none[] = {{}};
  const SpoolRace race = run_race(dried, starts, steady(0.45), feeds, 2);
  for (std::size_t f = 0; f < feeds.size(); ++f) {
    const HandRace hand = race_hands(dried, starts, steady(0.45), feeds[f], none,
                                     dried.limits.cosmetic, 2)[0];
    INFO(feed_name(feeds[f].feed));
    CHECK(hand.share_above == race.feeds[f].limits.cosmetic.share_above);
    CHECK(hand.crossing_kg == race.feeds[f].limits.cosmetic.crossing_kg);
  }
}
