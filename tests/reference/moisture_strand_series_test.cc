#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "reference/series.h"

// One strand against the solid cylinder. The pack is a single layer; with its ways to
// the air wide open the strand's surface is at the air's humidity, with a film it meets
// a surface resistance.

namespace drydepth {
namespace {

using namespace series;

constexpr double kStrandD = 1e-12;
constexpr double kRadiusM = 0.875e-3;
constexpr double kStart = 0.01;

struct Strand {
  PackSolver solver;
  PackState state;
  double film_w_m2k;
  double now = 0;

  Strand(double gap_factor, double film, int shells)
      : solver(linear_polymer(kStrandD, 0.5), annulus(0.04, 0.04175, 1, 0.9),
               isothermal(gap_factor), {.shells = shells, .tolerance = 1e-7}),
        state(solver.uniform(DryBasis{kStart}, Kelvin{kTemperatureK})),
        film_w_m2k(film) {}

  /// Share of the water that has left at T = D t/a^2.
  double left_at(double t) {
    const double seconds = t * kRadiusM * kRadiusM / kStrandD;
    solver.advance(state, dry_air(film_w_m2k), seconds - now);
    now = seconds;
    return 1 - layer_content(solver.model(), state, 0) / kStart;
  }
};

// Crank 5.23: M = 1 - sum 4/alpha^2 exp(-alpha^2 T), J0(alpha) = 0. The error falls
// with the square of the number of shells; the standard 14 leave 0.24 % of the water at
// most.
TEST_CASE("solid cylinder, surface at the air's humidity") {
  struct Row {
    double t, m;
  };
  const Row rows[] = {{0.001, 0.0703588887074}, {0.01, 0.2154739381795},
                      {0.05, 0.4521209979966},  {0.1, 0.6058241939667},
                      {0.25, 0.8370090893967},  {0.5, 0.9616212949491},
                      {1.0, 0.9978704537227}};
  struct Grid {
    int shells;
    double margin;
  };
  for (const Grid& grid : {Grid{14, 0.003}, {28, 0.0008}, {112, 0.00006}}) {
    Strand strand(1e6, 1e12, grid.shells);
    double worst = 0;
    for (const Row& row : rows) {
      worst = std::max(worst, std::abs(strand.left_at(row.t) - row.m));
    }
    INFO(grid.shells << " shells, worst " << worst);
    CHECK(worst < grid.margin);
  }
}

// Crank 5.22: local remaining = sum 2 J0(alpha r/a)/(alpha J1(alpha)) exp(-alpha^2 T).
// Read at the shells' middles, linear between them.
TEST_CASE("solid cylinder, local content") {
  struct Row {
    double t, place, remaining;
  };
  const Row rows[] = {{0.1, 0.5, 0.610246786515},
                      {0.1, 0.9, 0.126656293442},
                      {0.4, 0.5, 0.106180884981},
                      {0.4, 0.9, 0.0206486717461}};
  Strand strand(1e6, 1e12, 200);
  const PackModel& model = strand.solver.model();
  for (const Row& row : rows) {
    INFO("T " << row.t << ", r/a " << row.place);
    strand.left_at(row.t);
    double inner = 0, before = 0, content_before = 0, found = -1;
    for (int j = 0; j < model.shells; ++j) {
      const double share = model.shell_share[static_cast<std::size_t>(j)];
      const double middle = std::sqrt(inner + share / 2);
      const double content = strand.state.y.content(j)[0] / kStart;
      if (before < row.place && middle >= row.place) {
        found = content_before +
                (content - content_before) * (row.place - before) / (middle - before);
      }
      inner += share;
      before = middle;
      content_before = content;
    }
    CHECK(found == Approx(row.remaining).margin(1e-4));
  }
}

// Crank 5.49: with L = h a/D and beta J1(beta) = L J0(beta),
//   M = 1 - sum 4 L^2/(beta^2 (beta^2 + L^2)) exp(-beta^2 T).
// The film of the pack, seen from the strand: the water of a section pi a^2 leaves
// through the layer's outer area A at h_m c_sat X/k, so that
//   h = h_m A c_sat a/(2 f V rho k).
TEST_CASE("solid cylinder with surface resistance") {
  struct Row {
    double l, t, m;
  };
  const Row rows[] = {{1, 0.1, 0.156734490436},  {1, 0.5, 0.552615736373},
                      {1, 1.0, 0.796652954334},  {10, 0.1, 0.490016437302},
                      {10, 0.5, 0.925234537113}, {10, 1.0, 0.99304647984}};
  for (const double l : {1.0, 10.0}) {
    const Strand probe(1e6, 1, 1);
    const PackModel& m = probe.solver.model();
    const double per_film = mass_film_m_s(1) * m.outer_area_m2[0] *
                            saturated_vapour(kTemperatureK).concentration_kg_m3 *
                            kRadiusM /
                            (2 * m.winding.fill * m.volume_m3[0] *
                             m.winding.density_kg_m3 * m.polymer.isotherm_slope);
    Strand strand(1e6, l * kStrandD / kRadiusM / per_film, 112);
    for (const Row& row : rows) {
      if (row.l != l) continue;
      INFO("L " << l << ", T " << row.t);
      CHECK(strand.left_at(row.t) == Approx(row.m).margin(1e-4));
    }
  }
}

// Crank 5.24, early times: M = 4 sqrt(T/pi) - T - T^1.5/(3 sqrt(pi)).
TEST_CASE("solid cylinder, early times") {
  Strand strand(1e6, 1e12, 400);
  for (const double t : {1e-4, 1e-3, 5e-3}) {
    INFO("T " << t);
    const double m = 4 * std::sqrt(t / std::numbers::pi) - t -
                     t * std::sqrt(t / std::numbers::pi) / 3;
    CHECK(strand.left_at(t) == Approx(m).margin(5e-5));
  }
}

}  // namespace
}  // namespace drydepth
