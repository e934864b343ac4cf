#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "moisture/reference_run.h"

// Sizes of what the model leaves out, as docs/model.md states them. Each is derived
// from the constants named there, or computed as a change to the reference run.

namespace drydepth {
namespace {

namespace run = reference_run;

double depth_g(const Polymer& polymer, const PackProperties& pack) {
  PackSolver solver(polymer, run::winding(), pack);
  PackState state = solver.uniform(DryBasis{run::kStartContent}, Kelvin{run::kRoomK});
  solver.advance(state, run::heater(82), run::kDryingHours * kSecondsPerHour);
  return 1e3 * dry_depth_kg(solver.model(), state, 0.005);
}

TEST_CASE("left out: what it would move the dry depth by") {
  struct Row {
    const char* label;
    double gap_share, side_w_m2k, diffusivity_share, depth_g;
  };
  const Row rows[] = {
      {"reference", 1, 6.5, 1, 122},
      {"flanges without axial conduction", 1, 12, 1, 133},
      {"flanges with twice the axial conduction's resistance", 1, 4, 1, 113},
      {"gaps 9 um wider: strands 0.5 % thinner", 1.13, 6.5, 1, 131},
      {"strands 0.5 % thicker: 1 % slower", 1, 6.5, 1 / 1.01, 121},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    Polymer polymer = run::polymer();
    polymer.diffusivity_ref_m2_s *= row.diffusivity_share;
    PackProperties pack = run::pack();
    pack.gap_factor *= row.gap_share;
    pack.side_w_m2k = row.side_w_m2k;
    CHECK(depth_g(polymer, pack) == Approx(row.depth_g).margin(0.6));
  }
}

TEST_CASE("left out: water from strand to strand through the solid") {
  const Polymer p = run::polymer();
  const double t_k = 355.15, content = 0.028;
  const double a = activity_over(p, content, t_k), step = 1e-6;
  const double slope =
      (equilibrium_content(p, a + step, t_k) - equilibrium_content(p, a - step, t_k)) /
      (2 * step);
  const double solid = strand_diffusivity_m2_s(p, content, t_k) * p.density_kg_m3 *
                       slope / saturated_vapour(t_k).concentration_kg_m3;
  const double gaps = run::pack().gap_factor * vapour_diffusivity_m2_s(t_k);
  CHECK(solid / gaps == Approx(2e-3).epsilon(0.1));
}

// Darcy's velocity over that of diffusion, u L/(g D_va), in a quadratic array across
// the strands: K = 16/(9 pi sqrt 2) (sqrt(f_max/f) - 1)^2.5 R^2, f_max = pi/4 (Gebart
// 1992, J. Compos. Mater. 26, 1100, from memory); 20 K within the winding, air at 340 K
// of 2e-5 m2/s.
TEST_CASE("left out: air that moves through the gaps") {
  const double radius_m = 0.875e-3, f = 0.72, pi = std::numbers::pi;
  const double permeability_m2 = 16 / (9 * pi * std::numbers::sqrt2) *
                                 std::pow(std::sqrt(pi / 4 / f) - 1, 2.5) * radius_m *
                                 radius_m;
  CHECK(permeability_m2 == Approx(1.3e-10).epsilon(0.03));
  const double u_m_s = permeability_m2 * 9.81 * (20.0 / 340) / 2e-5;
  const double peclet =
      u_m_s * 0.0525 / (run::pack().gap_factor * vapour_diffusivity_m2_s(340));
  CHECK(peclet == Approx(0.1).epsilon(0.1));
}

// A spool from the cold, for half an hour. Nylon takes most of the vapour up before it
// can become dew, and the heat of that is in the equations; what the dew sets free is
// not. Its share is of the heat that has warmed the spool meanwhile.
TEST_CASE("left out: heat that dew sets free") {
  struct Row {
    double start_c, room_humidity, content, taken_g, dew_share;
  };
  for (const Row& row : {Row{5, 0.45, 0.003, 0.17, 0},
                         {5, 0.45, 0.028, 0.10, 0},
                         {-10, 0.80, 0.028, 0.66, 0.043}}) {
    INFO("from " << row.start_c << " C at " << row.content << " into "
                 << row.room_humidity);
    PackSolver solver(run::polymer(), run::winding(), run::pack());
    const PackModel& model = solver.model();
    const Kelvin start = to_kelvin(Celsius{row.start_c});
    PackState state = solver.uniform(DryBasis{row.content}, start);
    solver.advance(
        state,
        {.air = make_air(Celsius{23}, Activity{row.room_humidity}), .film_w_m2k = 8},
        1800);
    double dew_j = 0, warming_j = 0;
    for (int i = 0; i < state.layers; ++i) {
      const double t_k = state.y.temperature()[i];
      const double above =
          state.y.vapour()[i] - saturated_vapour(t_k).concentration_kg_m3;
      dew_j += std::max(0.0, above) * (1 - model.winding.fill) *
               layer_volume_m3(model.winding, i) * latent_heat_j_kg(t_k);
      warming_j += layer_mass_kg(model.winding, i) *
                   model.polymer.heat_capacity_j_kg_k * (t_k - start.value);
    }
    CHECK(dew_j / warming_j == Approx(row.dew_share).margin(0.005));
    CHECK(-1e3 * state.y.released() == Approx(row.taken_g).margin(0.01));
  }
}

}  // namespace
}  // namespace drydepth
