#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "reference/series.h"

// The pack against the annulus, with strands that follow their gap at once, a straight
// isotherm and one temperature: what remains is diffusion with D_app.

namespace drydepth {
namespace {

using namespace series;

constexpr double kStart = 0.01;

struct Pack {
  PackSolver solver;
  PackState state;
  double depth_m;
  double now = 0;

  Pack(double inner_m, double outer_m, int layers, double hub_open)
      : solver(linear_polymer(1e-6, 0.05), annulus(inner_m, outer_m, layers, 0.72),
               with_hub(hub_open), {.shells = 3, .tolerance = 1e-7}),
        state(solver.uniform(DryBasis{kStart}, Kelvin{kTemperatureK})),
        depth_m(outer_m - inner_m) {}

  static PackProperties with_hub(double open) {
    // So tight that the hub's film of fixed size resists nothing.
    PackProperties p = isothermal(1e-4);
    p.hub_open_fraction = open;
    return p;
  }
  /// Advances to T = D_app t/(b - a)^2.
  void to(double t) {
    const double d = apparent_diffusivity_m2_s(solver.model());
    const double seconds = t * depth_m * depth_m / d;
    solver.advance(state, dry_air(1e12), seconds - now);
    now = seconds;
  }
  double remaining() const { return mean_content(solver.model(), state) / kStart; }
  double local(double radius_m) const {
    const std::vector<double>& edges = solver.model().winding.edges_m;
    for (std::size_t i = 0; i + 2 < edges.size(); ++i) {
      const double a = (edges[i] + edges[i + 1]) / 2;
      const double b = (edges[i + 1] + edges[i + 2]) / 2;
      if (radius_m > b) continue;
      const double at_a = layer_content(solver.model(), state, static_cast<int>(i));
      const double at_b = layer_content(solver.model(), state, static_cast<int>(i) + 1);
      return (at_a + (at_b - at_a) * std::max(0.0, radius_m - a) / (b - a)) / kStart;
    }
    return -1;
  }
};

// Core sealed, outer surface at the air: the spool. Mean remaining =
// 2/(k^2 - 1) sum (I^2/N) exp(-l^2 (k-1)^2 T), J1(l) Y0(k l) - Y1(l) J0(k l) = 0, by
// separation of variables (as Crank 5.5); checked apart by another finite-volume code.
// Errors fall with the square of the number of layers.
TEST_CASE("sealed-core annulus, mean") {
  struct Row {
    double k, t, remaining;
  };
  const Row rows[] = {{1.25, 0.05, 0.725255672752}, {1.25, 0.2, 0.462500000377},
                      {1.25, 1.0, 0.0533130072296}, {2, 0.05, 0.680628627441},
                      {2, 0.2, 0.397793452493},     {2, 1.0, 0.0302140958501}};
  for (const double k : {1.25, 2.0}) {
    for (const int layers : {30, 200}) {
      Pack pack(0.04, 0.04 * k, layers, 0);
      for (const Row& row : rows) {
        if (row.k != k) continue;
        pack.to(row.t);
        INFO("k " << k << ", T " << row.t << ", " << layers << " layers");
        CHECK(pack.remaining() ==
              Approx(row.remaining).margin(layers == 30 ? 5e-4 : 2e-5));
      }
    }
  }
}

TEST_CASE("sealed-core annulus, local") {
  struct Row {
    double t, place, remaining;
  };
  const Row rows[] = {{0.1, 1.0, 0.93280782738},   {0.1, 1.25, 0.87495397084},
                      {0.1, 1.5, 0.69322478742},   {0.1, 1.75, 0.3822076792},
                      {0.1, 1.9, 0.15449290595},   {0.5, 1.0, 0.2730523846},
                      {0.5, 1.25, 0.2479416033},   {0.5, 1.5, 0.1827175247},
                      {0.5, 1.75, 0.094139638675}, {0.5, 1.9, 0.037203574527}};
  Pack pack(0.04, 0.08, 200, 0);
  for (const Row& row : rows) {
    INFO("T " << row.t << ", r/a " << row.place);
    pack.to(row.t);
    CHECK(pack.local(0.04 * row.place) == Approx(row.remaining).margin(5e-5));
  }
}

// Both surfaces at the air (Crank 5.69, number from memory): an open hub.
TEST_CASE("annulus open at the hub too") {
  struct Row {
    double t, left;
  };
  const Row rows[] = {{0.05, 0.503122421921},
                      {0.1, 0.695899207472},
                      {0.2, 0.885378718517},
                      {0.5, 0.993855130224}};
  Pack pack(0.04, 0.08, 200, 1);
  for (const Row& row : rows) {
    INFO("T " << row.t);
    pack.to(row.t);
    CHECK(1 - pack.remaining() == Approx(row.left).margin(5e-5));
  }
}

// Through-thickness absorption after ISO 62: c/cs = 1 - 8/pi^2 sum (2k-1)^-2
// exp(-(2k-1)^2 x), x = pi^2 D t/d^2 (formula from memory, digits worked out apart). A
// thin annulus with a sealed core is half such a sheet, d = 2 (b - a). Sen-i Gakkaishi
// 32 (1976) T540 takes a/b > 0.95 for a sheet; 0.9995 is one to the digits asked here.
TEST_CASE("thin annulus as a sheet of ISO 62") {
  struct Row {
    double x, left;
  };
  const Row rows[] = {{0.01, 0.07183484885}, {0.1, 0.2271617377}, {0.5, 0.5073641317},
                      {0.7, 0.5973177295},   {1.0, 0.701797042},  {1.5, 0.8191373811},
                      {2.0, 0.8903013499},   {3.0, 0.9596441224}, {4.0, 0.9851539023},
                      {5.0, 0.9945384259}};
  struct Shape {
    double a_over_b, margin;
  };
  for (const Shape& shape : {Shape{0.96, 0.01}, {0.9995, 2e-4}}) {
    const double depth_m = 0.04;
    const double outer_m = depth_m / (1 - shape.a_over_b);
    Pack pack(outer_m - depth_m, outer_m, 200, 0);
    for (const Row& row : rows) {
      INFO("a/b " << shape.a_over_b << ", x " << row.x);
      pack.to(row.x * 4 / (std::numbers::pi * std::numbers::pi));
      CHECK(1 - pack.remaining() == Approx(row.left).margin(shape.margin));
    }
  }
}

}  // namespace
}  // namespace drydepth
