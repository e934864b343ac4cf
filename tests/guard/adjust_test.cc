#include "guard/actions/adjust.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "rules/firmware.h"

using namespace drydepth;

namespace {

constexpr const char* kComment5 = ";drydepth: nozzle 5 C lower, wet wraps";
constexpr const char* kComment10 = ";drydepth: nozzle 10 C lower, wet wraps";

Trace heated_trace(double first_c) {
  Trace trace = plain_trace(10);
  trace.heats = {
      {.line = 3, .insert_offset = 60, .insert_line = 4, .target_c = first_c}};
  return trace;
}

AdjustPlan adjust(const Trace& trace, std::optional<double> early_kg,
                  std::optional<double> likely_kg, const char* firmware = "marlin",
                  bool many_tools = false) {
  static const Spool dried = dried_spool();  // pa6: at least 250 C or so
  static const auto dialects = *load_firmwares();
  FeedRace race;
  for (int k = 0; k <= 6; ++k) race.nozzle.push_back({.mass_kg = 0.045 * k});
  LimitRace limit;
  limit.crossing_kg = {early_kg, likely_kg, std::nullopt};
  return plan_adjust({trace, trace.tools[0], *find_dialect(dialects, firmware), dried,
                      race, limit, many_tools},
                     load_policy()->adjust);
}

double least_c() { return dried_spool().material.nozzle_min_c.value; }

}  // namespace

TEST_CASE("one step at the early crossing, one more at the likely one") {
  const double sliced = least_c() + 20;
  const AdjustPlan plan = adjust(heated_trace(sliced), 0.200, 0.250);
  REQUIRE(plan.edits.size() == 2);
  const auto degrees = [](double c) { return std::to_string(static_cast<int>(c)); };
  CHECK(plan.edits[0].edit.lines ==
        std::vector<std::string>{kComment5, "M104 S" + degrees(sliced - 5)});
  CHECK(plan.edits[0].edit.line == 504);  // as a message would
  CHECK(plan.edits[0].reason == "one wound layer before the early crossing, at 200 g");
  CHECK(plan.edits[1].edit.lines ==
        std::vector<std::string>{kComment10, "M104 S" + degrees(sliced - 10)});
  CHECK(plan.edits[1].edit.line == 704);
  CHECK(plan.edits[1].reason == "one wound layer before the likely crossing, at 250 g");
}

TEST_CASE("never below what the material needs, never when there is no room") {
  const AdjustPlan plan = adjust(heated_trace(least_c() + 7), 0.200, 0.250);
  REQUIRE(plan.edits.size() == 2);
  CHECK(plan.edits[1].text ==
        "nozzle 7 C lower, " + std::to_string(static_cast<int>(least_c())) + " C");
  const AdjustPlan none = adjust(heated_trace(least_c()), 0.200, std::nullopt);
  CHECK(none.edits.empty());
  CHECK(none.refused == "the sliced nozzle temperature leaves no room above " +
                            std::to_string(static_cast<int>(least_c())) + " C");
}

TEST_CASE("every later temperature is followed by its own lower one") {
  const double sliced = least_c() + 20;
  Trace trace = heated_trace(sliced);
  const auto heat = [](std::uint64_t line, double c, int tool = 0) {
    return HeatMark{.line = line,
                    .insert_offset = line * 30,
                    .insert_line = line + 1,
                    .tool = tool,
                    .target_c = c};
  };
  trace.heats.push_back(heat(150, sliced + 2));  // before: left alone
  trace.heats.push_back(heat(800, sliced - 1));  // after: followed
  trace.heats.push_back(heat(820, 150));         // standby
  trace.heats.push_back(heat(830, sliced, 1));   // another tool
  trace.heats.push_back(heat(900, 0));           // off
  const AdjustPlan plan = adjust(trace, 0.200, std::nullopt);
  REQUIRE(plan.edits.size() == 2);
  const auto degrees = [](double c) { return std::to_string(static_cast<int>(c)); };
  CHECK(plan.edits[0].edit.lines[1] == "M104 S" + degrees(sliced + 2 - 5));
  CHECK(plan.edits[1].edit.lines[1] == "M104 S" + degrees(sliced - 1 - 5));
  CHECK(plan.edits[1].edit.line == 801);
  CHECK(plan.edits[1].reason == "the job sets " + degrees(sliced - 1) + " C here");
}

TEST_CASE("with several tools the command names its own") {
  const AdjustPlan plan =
      adjust(heated_trace(least_c() + 20), 0.200, std::nullopt, "marlin", true);
  REQUIRE(plan.edits.size() == 1);
  CHECK(plan.edits[0].edit.lines[1].ends_with(" T0"));
}

TEST_CASE("nothing without a crossing, a sliced temperature or a certain command") {
  CHECK(adjust(heated_trace(270), std::nullopt, std::nullopt).refused.empty());
  CHECK(adjust(plain_trace(10), 0.2, std::nullopt).edits.empty());
  CHECK(adjust(heated_trace(270), 0.2, std::nullopt, "mach3").refused ==
        "how Mach3 and Machinekit sets the nozzle is not certain");
}
