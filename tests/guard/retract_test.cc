#include "guard/actions/retract.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "rules/firmware.h"

using namespace drydepth;

namespace {

RetractPlan planned(const Trace& trace, const Spool& dried,
                    std::optional<double> early_kg, const AdjustPolicy& policy) {
  static const auto dialects = *load_firmwares();
  FeedRace race;
  for (int k = 0; k <= 6; ++k) race.nozzle.push_back({.mass_kg = 0.045 * k});
  LimitRace limit;
  limit.crossing_kg = {early_kg, std::nullopt, std::nullopt};
  return plan_retractions({trace, trace.tools[0], *find_dialect(dialects, "marlin"),
                           dried, race, limit, false},
                          policy);
}

}  // namespace

TEST_CASE("retractions are longer from where a message would stand") {
  const Trace trace = plain_trace(10);
  const auto plan = planned(trace, dried_spool(), 0.200, load_policy()->adjust);
  REQUIRE(plan.wish);
  CHECK(plan.wish->from_line == 504);
  CHECK(plan.wish->share == 0.1);
  CHECK(plan.wish->most_mm == 0.4);
  REQUIRE(plan.mark);
  CHECK(plan.mark->edit.offset == 14'000);
  const auto said = said_retractions(
      plan,
      {.tool = 0, .longer = 311, .firmware = 1, .least_mm = 0.08, .most_mm = 0.2});
  REQUIRE(said);
  CHECK(said->text == "312 retractions 0.08 to 0.20 mm longer");
  CHECK(said->reason == "one wound layer before the early crossing, at 200 g");
  CHECK(said->edit.lines ==
        std::vector<std::string>{";drydepth: 312 retractions 0.08 to 0.20 mm longer of "
                                 "T0 from here on, wet wraps"});
  CHECK(said->edit.lines.front().size() < 80);
  CHECK_FALSE(said_retractions(plan, {.tool = 0, .left_alone = 4}));
}

TEST_CASE("no longer retraction without need, by policy, or for soft filament") {
  const Trace trace = plain_trace(10);
  Spool dried = dried_spool();
  AdjustPolicy policy = load_policy()->adjust;
  const RetractPlan needless = planned(trace, dried, std::nullopt, policy);
  CHECK_FALSE(needless.wish);
  CHECK(needless.refused.empty());
  dried.material = *find_material(*load_materials(), "tpu", "test");
  const RetractPlan soft = planned(trace, dried, 0.2, policy);
  CHECK_FALSE(soft.wish);
  CHECK(soft.refused ==
        "thermoplastic polyurethane is too soft to be drawn further back");
  policy.retract_longer.value = 0;
  CHECK(planned(trace, dried, 0.2, policy).refused.empty());
}

TEST_CASE("why retractions were left alone") {
  LongerRetractions all;
  const RetractionsDone some{.longer = 3, .left_alone = 2};
  CHECK(left_retractions(all, {.longer = 3}, "Marlin 2").empty());
  CHECK(left_retractions(all, some, "Marlin 2") ==
        "2 of them are no plain pair of a retraction and its recovery");
  CHECK(
      left_retractions(all, {.not_stated = 9}, "Marlin 2") ==
      "the firmware retracts (G10), and the job does not state by how much, so Marlin "
      "2 cannot be told how much more");
  all.overruled = true;
  CHECK(left_retractions(all, some, "Marlin 2") ==
        "M209 leaves their length to the firmware");
  all.too_many = true;
  CHECK(left_retractions(all, some, "Marlin 2") == "there are too many of them");
}
