#include "moisture/pack_solver.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "moisture/reference_run.h"

namespace drydepth {
namespace {

namespace run = reference_run;

constexpr double kDay = 24 * kSecondsPerHour;

PackState start(const PackSolver& solver) {
  return solver.uniform(DryBasis{run::kStartContent}, Kelvin{run::kRoomK});
}

double largest_difference(const PackModel& model, const PackState& a,
                          const PackState& b) {
  double worst = 0;
  for (int i = 0; i < a.layers; ++i) {
    for (int j = 0; j < model.shells; ++j) {
      worst = std::max(worst, std::abs(a.y.content(j)[i] - b.y.content(j)[i]));
    }
  }
  return worst;
}

// Slow warming, begun long before, and thick shells: no part of the solution changes
// faster than the step. (With thin shells the surface follows the drift within seconds;
// the order then falls to 2 at errors below 1e-9, far under any tolerance.)
Surroundings warming(bool chamber, double since_s) {
  Surroundings around = run::heater(50);
  around.temperature_rate_k_s = 20.0 / (4 * kSecondsPerHour);
  around.vapour_rate_kg_m3_s = chamber ? 0 : -1e-7;
  around.air.temperature_k += around.temperature_rate_k_s * since_s;
  around.air.vapour_kg_m3 += around.vapour_rate_kg_m3_s * since_s;
  if (chamber) around.chamber = Chamber{0.02, 5e-5, 0.008};
  return around;
}

TEST_CASE("order of convergence") {
  const double settled_s = 6 * kSecondsPerHour, seconds = 15360;
  for (const bool chamber : {false, true}) {
    const auto solver = [&](const PackOptions& options) {
      return PackSolver(run::polymer(), run::winding(8), run::pack(), options);
    };
    PackSolver settle = solver({.shells = 3, .tolerance = 1e-6});
    PackState begin = start(settle);
    begin.y.chamber() = 0.008;
    settle.advance(begin, warming(chamber, 0), settled_s);
    begin.step_s = 0;

    const auto with_step = [&](double step_s) {
      PackSolver fixed = solver({.shells = 3, .tolerance = 1e3, .max_step_s = step_s});
      PackState state = begin;
      const PackSummary summary =
          fixed.advance(state, warming(chamber, settled_s), seconds);
      // Short steps to begin with; the last two share what is left.
      REQUIRE(summary.steps - seconds / step_s <= 3);
      REQUIRE(summary.rejected == 0);
      return state;
    };
    const PackState fine = with_step(2);
    double coarser = 0;
    for (const double step_s : {480.0, 240.0, 120.0}) {
      const double error = largest_difference(settle.model(), with_step(step_s), fine);
      INFO("chamber " << chamber << ", step " << step_s << " s, error " << error
                      << ", order " << std::log2(coarser / error));
      if (coarser > 0) CHECK(std::log2(coarser / error) == Approx(3).margin(0.3));
      coarser = error;
    }
  }
}

// Everything that the reference run reports, as contents.
std::vector<double> reported(const PackOptions& options) {
  PackSolver solver(run::polymer(), run::winding(), run::pack(), options);
  const PackModel& model = solver.model();
  PackState state = start(solver);
  std::vector<double> out;
  for (int hour = 1; hour <= 12; ++hour) {
    solver.advance(state, run::heater(82), kSecondsPerHour);
    out.push_back(mean_content(model, state));
  }
  for (int i = 0; i < state.layers; ++i) out.push_back(layer_content(model, state, i));
  for (const Surroundings& feed : {run::open_air(), run::heater(75)}) {
    PackState printing = state;
    const DrawResult drawn = draw(solver, printing, feed, run::draw_curve());
    for (const NozzleSample& s : drawn.samples) out.push_back(s.content);
    out.push_back(mean_content(model, printing));
  }
  return out;
}

// The step follows the local error: a sixteenth of the tolerance at least halves it.
TEST_CASE("refinement moves nothing reported by more than 0.005 % of dry mass") {
  const PackOptions standard;
  const std::vector<double> base = reported(standard);
  struct Row {
    const char* label;
    PackOptions options;
  };
  PackOptions steps = standard, shells = standard, both = standard;
  steps.tolerance /= 16;
  shells.shells *= 2;
  both.tolerance /= 16;
  both.shells *= 2;
  for (const Row& row :
       {Row{"steps", steps}, Row{"shells", shells}, Row{"steps and shells", both}}) {
    const std::vector<double> finer = reported(row.options);
    REQUIRE(finer.size() == base.size());
    double worst = 0;
    for (std::size_t k = 0; k < base.size(); ++k) {
      worst = std::max(worst, std::abs(finer[k] - base[k]));
    }
    INFO(row.label << ", worst " << worst);
    CHECK(worst < 5e-5);
    CHECK(worst > 0);
  }
}

TEST_CASE("water is kept, gap vapour and what left included") {
  PackProperties open;
  open.hub_open_fraction = 0.5;
  open.flange_open_fraction = 0.5;
  for (const PackProperties& properties : {run::pack(), open}) {
    PackSolver solver(run::polymer(), run::winding(), properties);
    const PackModel& model = solver.model();
    PackState state = start(solver);
    const double initial = water_kg(model, state);
    Surroundings drifting = run::open_air();
    drifting.temperature_rate_k_s = -1e-3;
    const auto check = [&] {
      const double now = water_kg(model, state) + state.y.released() + state.removed_kg;
      CHECK(now == Approx(initial).epsilon(1e-9));
    };
    for (const Surroundings& around : {run::heater(82), drifting, run::open_air()}) {
      for (int k = 0; k < 60; ++k) {
        solver.advance(state, around, 600);
        check();
      }
    }
    draw(solver, state, run::open_air(), run::draw_curve());
    check();
    CHECK(state.removed_kg > 0.003);
    CHECK(state.y.released() > 0.005);
  }
}

TEST_CASE("a sealed box keeps what the spool gives off") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState state = start(solver);
  Surroundings box = run::heater(70);
  box.chamber = Chamber{.volume_m3 = 0.02};
  state.y.chamber() = 0.01;
  const double initial = water_kg(solver.model(), state);
  for (int k = 0; k < 50; ++k) {
    solver.advance(state, box, 1800);
    CHECK(water_kg(solver.model(), state) + state.y.released() ==
          Approx(initial).epsilon(1e-9));
    CHECK(0.02 * (state.y.chamber() - 0.01) ==
          Approx(state.y.released()).margin(1e-9 * initial));
  }
  CHECK(state.y.chamber() > 0.05);
}

// What the exchange carries away is integrated here from the box's air, by Simpson's
// rule over pairs of short advances: its error, not the solver's, sets the tolerance.
TEST_CASE("a box with air exchange: spool, air and outlet balance") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState state = start(solver);
  Surroundings box = run::heater(70);
  const Chamber chamber{.volume_m3 = 0.02,
                        .exchange_m3_s = 0.3 / kSecondsPerHour,
                        .inlet_kg_m3 = box.air.vapour_kg_m3};
  box.chamber = chamber;
  state.y.chamber() = chamber.inlet_kg_m3;
  const double initial = water_kg(solver.model(), state);
  const double step_s = 15;
  double carried = 0;
  for (int k = 0; k < 480; ++k) {
    const double a = state.y.chamber();
    solver.advance(state, box, step_s);
    const double b = state.y.chamber();
    solver.advance(state, box, step_s);
    carried += chamber.exchange_m3_s * step_s / 3 *
               (a + 4 * b + state.y.chamber() - 6 * chamber.inlet_kg_m3);
  }
  const double in_air = chamber.volume_m3 * (state.y.chamber() - chamber.inlet_kg_m3);
  CHECK(carried > 1e-3);
  CHECK(in_air + carried == Approx(state.y.released()).margin(1e-6 * initial));
  CHECK(water_kg(solver.model(), state) + state.y.released() ==
        Approx(initial).epsilon(1e-9));
}

TEST_CASE("a large box with a fast exchange is open air") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState boxed = start(solver), open = start(solver);
  Surroundings box = run::heater(82);
  box.chamber = Chamber{1.0, 10.0, box.air.vapour_kg_m3};
  boxed.y.chamber() = box.air.vapour_kg_m3;
  solver.advance(boxed, box, 6 * kSecondsPerHour);
  solver.advance(open, run::heater(82), 6 * kSecondsPerHour);
  CHECK(largest_difference(solver.model(), boxed, open) < 2e-5);
}

TEST_CASE("what is in equilibrium with its air stays") {
  for (const double celsius : {5.0, 23.0, 75.0}) {
    for (const double rh : {0.0, 0.2, 0.9, 1.0}) {
      INFO(celsius << " C, " << rh);
      PackSolver solver(run::polymer(), run::winding(6), run::pack());
      const Air air = make_air(Celsius{celsius}, Activity{rh});
      const double content = equilibrium_content(run::polymer(), rh, air.temperature_k);
      PackState state = solver.uniform(DryBasis{content}, Kelvin{air.temperature_k});
      solver.advance(state, {.air = air}, 30 * kDay);
      for (int i = 0; i < state.layers; ++i) {
        CHECK(layer_content(solver.model(), state, i) == Approx(content).margin(1e-9));
      }
    }
  }
}

TEST_CASE("no time, no change; the same arguments, the same bytes") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState state = start(solver), again = start(solver);
  CHECK(solver.advance(state, run::heater(82), 0).steps == 0);
  CHECK(state.y.data == again.y.data);
  PackSolver other(run::polymer(), run::winding(), run::pack());
  solver.advance(state, run::heater(82), 5000);
  solver.advance(state, run::open_air(), 5000);
  other.advance(again, run::heater(82), 5000);
  other.advance(again, run::open_air(), 5000);
  CHECK(state.y.data == again.y.data);
}

}  // namespace
}  // namespace drydepth
