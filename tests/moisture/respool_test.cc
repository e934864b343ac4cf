#include "moisture/respool.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "moisture/pack_solver.h"
#include "moisture/pack_state.h"
#include "moisture/reference_run.h"

using namespace drydepth;

namespace {

namespace run = reference_run;

const Air kRoom = make_air(Celsius{23}, Activity{0.45});

PackSolver solver_for(const Winding& winding) {
  return {run::polymer(), winding, PackProperties{}};
}

// The reference spool, dried for twelve hours: dry outside, wet inside, and every
// strand with a profile of its own.
struct Dried {
  PackSolver solver = solver_for(run::winding());
  PackState state = solver.uniform(DryBasis{run::kStartContent}, Kelvin{run::kRoomK});

  Dried() {
    solver.advance(
        state,
        {.air = heated_air(Celsius{82}, Celsius{23}, Activity{0.4}), .film_w_m2k = 12},
        12 * 3600.0);
  }
  const PackModel& model() const { return solver.model(); }
};

double strand_water_kg(const PackModel& model, const PackState& state) {
  return mean_content(model, state) * remaining_mass_kg(model, state);
}

struct Wound {
  PackSolver solver;
  PackState state;
};

Wound wind_over(const PackModel& model, const PackState& state,
                const RewindFacts& facts) {
  Wound out{solver_for(rewound(model.winding, remaining_mass_kg(model, state), facts)),
            {}};
  out.state = respool(model, state, out.solver.model(), kRoom);
  return out;
}

}  // namespace

TEST_CASE("a rewound winding holds the mass") {
  const Winding before = run::winding();
  struct Row {
    const char* label;
    RewindFacts facts;
    double mass_kg, hub_m, width_m, fill;
  };
  const double whole = dry_mass_kg(before);
  const Row rows[] = {
      {"the same body", {}, whole, before.hub_radius_m, before.width_m, before.fill},
      {"half of it", {}, whole / 2, before.hub_radius_m, before.width_m, before.fill},
      {"a wider one",
       {.hub_radius_m = 0.05, .width_m = 0.07},
       whole,
       0.05,
       0.07,
       before.fill},
      // All of it between 40 and 95 mm: 977.9 g over the volume of the annulus.
      {"wound loosely",
       {.outer_radius_m = 0.095},
       whole,
       before.hub_radius_m,
       before.width_m,
       whole / (1130 * 3.141592653589793 * 0.055 * (0.095 * 0.095 - 0.04 * 0.04))},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const Winding after = rewound(before, row.mass_kg, row.facts);
    CHECK(dry_mass_kg(after) == Approx(row.mass_kg).epsilon(1e-12));
    CHECK(after.hub_radius_m == row.hub_m);
    CHECK(after.width_m == row.width_m);
    CHECK(after.fill == Approx(row.fill).epsilon(1e-12));
  }
}

TEST_CASE("water goes with the filament") {
  const Dried dried;
  struct Row {
    const char* label;
    RewindFacts facts;
    double used_kg;
  };
  const Row rows[] = {{"the same body", {}, 0},
                      {"a wider one", {.hub_radius_m = 0.05, .width_m = 0.07}, 0},
                      {"a large hub: few layers", {.hub_radius_m = 0.11}, 0},
                      {"some of the outermost layer used", {}, 0.013}};
  for (const Row& row : rows) {
    INFO(row.label);
    PackState before = dried.state;
    before.consumed_kg = row.used_kg;
    const double mass = remaining_mass_kg(dried.model(), before);
    const double water = strand_water_kg(dried.model(), before);
    const Wound after = wind_over(dried.model(), before, row.facts);
    const PackModel& to = after.solver.model();
    CHECK(remaining_mass_kg(to, after.state) == Approx(mass).epsilon(1e-12));
    CHECK(std::abs(strand_water_kg(to, after.state) - water) < 1e-9 * water);
    // The ledger: what was there is there, gone through the surface, or taken away.
    const double ledger = water_kg(to, after.state) + after.state.removed_kg -
                          water_kg(dried.model(), before) - before.removed_kg;
    CHECK(std::abs(ledger) < 1e-9 * water);
    CHECK(after.state.y.released() == before.y.released());
  }
}

TEST_CASE("the order is turned, strand by strand") {
  const Dried dried;
  const Wound after = wind_over(dried.model(), dried.state, {});
  const PackModel& from = dried.model();
  const PackModel& to = after.solver.model();
  // The old outermost layer, heavier than the new innermost, fills all of it.
  const int last = dried.state.layers - 1;
  for (int j = 0; j < from.shells; ++j) {
    INFO("shell " << j);
    CHECK(after.state.y.content(j)[0] ==
          Approx(dried.state.y.content(j)[last]).epsilon(1e-12));
  }
  // The new outermost layer holds the two innermost old ones and some of the third.
  const double first = layer_content(from, dried.state, 0);
  const double third = layer_content(from, dried.state, 2);
  const double outside = layer_content(to, after.state, after.state.layers - 1);
  CHECK(outside < first);
  CHECK(outside > third);
  for (int i = 0; i < to.layers; ++i) {
    INFO("layer " << i);
    CHECK(after.state.y.temperature()[i] == kRoom.temperature_k);
    CHECK(after.state.y.vapour()[i] == kRoom.vapour_kg_m3);
  }
}

// A new layer is the mean of at most two pieces of old ones at one end and three at the
// other, so two turns smooth the profile over about its own slope.
TEST_CASE("two turns give the profile back, smoothed by less than a layer") {
  const Dried dried;
  const Wound once = wind_over(dried.model(), dried.state, {});
  const Wound twice = wind_over(once.solver.model(), once.state, {});
  const PackModel& model = twice.solver.model();
  REQUIRE(twice.state.layers == dried.state.layers);
  double worst = 0;
  for (int i = 0; i < model.layers; ++i) {
    INFO("layer " << i);
    const double was = layer_content(dried.model(), dried.state, i);
    const double is = layer_content(model, twice.state, i);
    const double below =
        i > 0 ? was - layer_content(dried.model(), dried.state, i - 1) : 0;
    const double above = i + 1 < model.layers
                             ? layer_content(dried.model(), dried.state, i + 1) - was
                             : 0;
    CHECK(std::abs(is - was) < 1e-12 + std::max(std::abs(below), std::abs(above)));
    worst = std::max(worst, std::abs(is - was));
  }
  CHECK(worst < 5e-4);
  CHECK(worst > 0);
}

TEST_CASE("an even spool stays even, and finds its gaps' air again") {
  PackSolver solver = solver_for(run::winding());
  PackState state = solver.uniform(DryBasis{0.01}, Kelvin{run::kRoomK});
  Wound after = wind_over(solver.model(), state, {});
  const PackModel& to = after.solver.model();
  for (int i = 0; i < to.layers; ++i) {
    INFO("layer " << i);
    CHECK(layer_content(to, after.state, i) == Approx(0.01).epsilon(1e-12));
  }
  // Sealed for an hour, the gaps take what little they lack from the strands.
  const double before = water_kg(to, after.state);
  const Surroundings sealed{.air = kRoom, .film_w_m2k = 1e-6};
  CHECK_FALSE(after.solver.advance(after.state, sealed, 3600).strained);
  CHECK(water_kg(to, after.state) + after.state.y.released() ==
        Approx(before).epsilon(1e-9));
  for (int i = 0; i < to.layers; ++i) {
    INFO("layer " << i << " an hour later");
    CHECK(surface_content(to, after.state, i) == Approx(0.01).epsilon(0.01));
    CHECK(layer_content(to, after.state, i) == Approx(0.01).epsilon(0.002));
  }
}
