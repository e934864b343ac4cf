#include "moisture/consumption.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "moisture/reference_run.h"

namespace drydepth {
namespace {

namespace run = reference_run;

// A spool with a content of its own in each layer, hub first, in air that changes
// nothing within the test: the strand passes no water.
struct Frozen {
  PackSolver solver;
  PackState state;

  explicit Frozen(const std::vector<double>& content)
      : solver(stiff(), run::winding(static_cast<int>(content.size())), run::pack()),
        state(solver.layered(content, Kelvin{run::kRoomK})) {}

  static Polymer stiff() {
    Polymer p = run::polymer();
    p.diffusivity_ref_m2_s = 1e-30;
    return p;
  }
  double mass(int layer) const { return layer_mass_kg(solver.model().winding, layer); }
};

constexpr double kHour = kSecondsPerHour;

TEST_CASE("layers leave from the outside, each at its own mass") {
  Frozen spool({0.01, 0.02, 0.03});
  const double outer = spool.mass(2), next = spool.mass(1);
  const double taken = outer + next / 2;
  const DrawPoint curve[] = {{0, 0}, {10 * kHour, taken}};
  const DrawResult drawn = draw(spool.solver, spool.state, run::open_air(), curve);
  REQUIRE(drawn.samples.size() == 3);
  CHECK(drawn.samples[0].mass_kg == 0);
  CHECK(drawn.samples[0].content == Approx(0.03));
  CHECK(drawn.samples[1].mass_kg == Approx(outer).epsilon(1e-14));
  CHECK(drawn.samples[1].content == Approx(0.03));
  CHECK(drawn.samples[1].time_s == Approx(10 * kHour * outer / taken).epsilon(1e-12));
  CHECK(drawn.samples[2].mass_kg == Approx(taken).epsilon(1e-14));
  CHECK(drawn.samples[2].content == Approx(0.02));
  CHECK(drawn.samples[2].time_s == 10 * kHour);
  CHECK_FALSE(drawn.ran_out);
  CHECK(drawn.taken_kg == Approx(taken).epsilon(1e-14));

  const PackModel& model = spool.solver.model();
  CHECK(spool.state.layers == 2);
  CHECK(spool.state.consumed_kg == Approx(next / 2).epsilon(1e-12));
  CHECK(remaining_mass_kg(model, spool.state) ==
        Approx(spool.mass(0) + next / 2).epsilon(1e-14));
  CHECK(mean_content(model, spool.state) ==
        Approx((0.01 * spool.mass(0) + 0.02 * next / 2) / (spool.mass(0) + next / 2))
            .epsilon(1e-12));
}

TEST_CASE("a job in two parts takes what one job takes") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState once = solver.uniform(DryBasis{0.028}, Kelvin{run::kRoomK});
  PackState twice = once;
  const DrawPoint whole[] = {{0, 0}, {10 * kHour, 0.2}};
  const DrawPoint half[] = {{0, 0}, {5 * kHour, 0.1}};
  draw(solver, once, run::open_air(), whole);
  draw(solver, twice, run::open_air(), half);
  draw(solver, twice, run::open_air(), half);
  CHECK(twice.layers == once.layers);
  CHECK(twice.consumed_kg == Approx(once.consumed_kg).epsilon(1e-12));
  CHECK(mean_content(solver.model(), twice) ==
        Approx(mean_content(solver.model(), once)).margin(2e-6));
}

TEST_CASE("a spool runs out, and nothing more happens") {
  Frozen spool({0.01, 0.02});
  const double all = spool.mass(0) + spool.mass(1);
  const DrawPoint curve[] = {{0, 0}, {kHour, 2 * all}};
  const DrawResult drawn = draw(spool.solver, spool.state, run::open_air(), curve);
  CHECK(drawn.ran_out);
  CHECK(drawn.taken_kg == Approx(all).epsilon(1e-12));
  CHECK(drawn.samples.back().time_s == Approx(kHour / 2).epsilon(1e-9));
  CHECK(spool.state.layers == 0);
  CHECK(water_kg(spool.solver.model(), spool.state) == 0);
  CHECK(mean_content(spool.solver.model(), spool.state) == 0);

  const DrawResult nothing = draw(spool.solver, spool.state, run::open_air(), curve);
  CHECK(nothing.ran_out);
  CHECK(nothing.samples.empty());
  CHECK(nothing.taken_kg == 0);
}

TEST_CASE("a job that takes exactly the spool does not run out") {
  Frozen spool({0.01, 0.02});
  const DrawPoint curve[] = {{0, 0}, {kHour, spool.mass(0) + spool.mass(1)}};
  const DrawResult drawn = draw(spool.solver, spool.state, run::open_air(), curve);
  CHECK_FALSE(drawn.ran_out);
  CHECK(spool.state.layers == 0);
}

TEST_CASE("a job without extrusion only lets time pass") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState drawn_on = solver.uniform(DryBasis{0.005}, Kelvin{run::kRoomK});
  PackState waited = drawn_on;
  const DrawPoint curve[] = {{0, 0}, {5 * kHour, 0}};
  draw(solver, drawn_on, run::open_air(), curve);
  solver.advance(waited, run::open_air(), 5 * kHour);
  CHECK(drawn_on.y.data == waited.y.data);
}

// Two curves with the same pace of material but a pause in one: while it waits, the
// outermost layer takes up water.
TEST_CASE("a pause counts where it stands") {
  const double mass = 0.04;  // within the first layer
  const DrawPoint straight[] = {{0, 0}, {2 * kHour, mass}};
  const DrawPoint paused[] = {
      {0, 0}, {kHour, mass / 2}, {9 * kHour, mass / 2}, {10 * kHour, mass}};
  const auto end = [](std::span<const DrawPoint> curve) {
    PackSolver solver(run::polymer(), run::winding(), run::pack());
    PackState state = solver.uniform(DryBasis{0.002}, Kelvin{run::kRoomK});
    return draw(solver, state, run::open_air(), curve).samples.back();
  };
  CHECK(end(straight).time_s == 2 * kHour);
  CHECK(end(paused).time_s == 10 * kHour);
  CHECK(end(paused).content > end(straight).content + 5e-4);
}

TEST_CASE("a layer that ends where a pause begins leaves before it") {
  Frozen spool({0.01, 0.02});
  const double outer = spool.mass(1);
  const DrawPoint curve[] = {
      {0, 0}, {kHour, outer}, {9 * kHour, outer}, {10 * kHour, outer * 1.2}};
  const DrawResult drawn = draw(spool.solver, spool.state, run::open_air(), curve);
  REQUIRE(drawn.samples.size() == 3);
  CHECK(drawn.samples[1].time_s == Approx(kHour));
  CHECK(drawn.samples[2].time_s == 10 * kHour);
}

TEST_CASE("surroundings drift through a job") {
  PackSolver solver(run::polymer(), run::winding(), run::pack());
  PackState drawn_on = solver.uniform(DryBasis{0.005}, Kelvin{run::kRoomK});
  PackState waited = drawn_on;
  Surroundings warming = run::open_air();
  warming.temperature_rate_k_s = 30 / (5 * kHour);
  const DrawPoint curve[] = {{0, 0}, {5 * kHour, 0.3}};
  draw(solver, drawn_on, warming, curve);
  solver.advance(waited, warming, 5 * kHour);
  // The hub hardly knows of the outer layers that left.
  CHECK(drawn_on.y.temperature()[0] == Approx(waited.y.temperature()[0]).margin(2.0));
  CHECK(waited.y.temperature()[0] > run::kRoomK + 10);
}

const NozzleSample kSamples[] = {
    {0, 0.00, 0.002}, {1, 0.10, 0.006}, {2, 0.20, 0.004}, {3, 0.30, 0.010}};

TEST_CASE("first crossing and mass above a limit") {
  struct Row {
    const char* label;
    double limit;
    bool crosses;
    double crossing_kg, above_kg;
  };
  // Above 0.005: 0.075 to 0.15, and 0.2167 to 0.30.
  const Row rows[] = {
      {"above from the start", 0.001, true, 0.0, 0.30},
      {"crosses, falls below, crosses again", 0.005, true, 0.075, 0.15833333333},
      {"only at the end", 0.008, true, 0.26666666667, 0.03333333333},
      {"touches the limit and stays below", 0.010, false, 0, 0},
      {"far below", 0.020, false, 0, 0},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const std::optional<double> crossing = first_crossing_kg(kSamples, row.limit);
    REQUIRE(crossing.has_value() == row.crosses);
    if (crossing) CHECK(*crossing == Approx(row.crossing_kg).margin(1e-12));
    CHECK(mass_above_kg(kSamples, row.limit) == Approx(row.above_kg).margin(1e-10));
  }
}

TEST_CASE("the mean of the outermost mass, across layers") {
  Frozen spool({0.009, 0.006, 0.003, 0.001});
  const PackModel& model = spool.solver.model();
  const double m3 = spool.mass(3), m2 = spool.mass(2), m1 = spool.mass(1);
  const double all = m3 + m2 + m1 + spool.mass(0);
  struct Row {
    const char* label;
    double mass_kg, content;
  };
  const Row rows[] = {
      {"a wrap", 0, 0.001},
      {"within the outermost layer", m3 / 2, 0.001},
      {"and half of the next", m3 + m2 / 2,
       (m3 * 0.001 + m2 / 2 * 0.003) / (m3 + m2 / 2)},
      {"more than there is", 2 * all, mean_content(model, spool.state)},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    CHECK(outer_content(model, spool.state, row.mass_kg) == Approx(row.content));
  }
  // What is used of the outermost layer no longer counts.
  spool.state.consumed_kg = m3 / 2;
  CHECK(outer_content(model, spool.state, m3) ==
        Approx((m3 / 2 * 0.001 + m3 / 2 * 0.003) / m3));
}

TEST_CASE("dry depth lies between the middles of layers") {
  Frozen spool({0.009, 0.006, 0.003, 0.001});
  const PackModel& model = spool.solver.model();
  const double m3 = spool.mass(3), m2 = spool.mass(2), m1 = spool.mass(1);
  struct Row {
    const char* label;
    double limit, depth_kg;
  };
  const double all = m3 + m2 + m1 + spool.mass(0);
  const Row rows[] = {
      {"nowhere", 0.0005, 0},
      {"halfway between the first two", 0.002, m3 / 2 + (m3 + m2) / 4},
      {"at a middle", 0.003, m3 + m2 / 2},
      {"a third of the way", 0.004, m3 + m2 / 2 + (m2 + m1) / 2 / 3},
      {"everywhere", 0.010, all},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    CHECK(dry_depth_kg(model, spool.state, row.limit) ==
          Approx(row.depth_kg).margin(1e-9));
  }
  // Half of the outermost layer used: it counts with what is left of it.
  spool.state.consumed_kg = m3 / 2;
  CHECK(dry_depth_kg(model, spool.state, 0.010) == Approx(all - m3 / 2).epsilon(1e-12));
  CHECK(dry_depth_kg(model, spool.state, 0.003) ==
        Approx(m3 / 2 + m2 / 2).epsilon(1e-6));
}

}  // namespace
}  // namespace drydepth
