#include "moisture/polymer.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "moisture/air.h"
#include "moisture/reference_run.h"

namespace drydepth {
namespace {

// PA6 with k = 0.045, q = 0.53, by hand: k a/(1 - q a) at the reference temperature.
TEST_CASE("isotherm at the reference temperature") {
  struct Row {
    double activity, percent;
  };
  const Row rows[] = {{0, 0},           {0.10, 0.475185}, {0.50, 3.061224},
                      {0.60, 3.958944}, {0.95, 8.610272}, {1.00, 9.574468}};
  const Polymer p = reference_run::polymer();
  for (const Row& row : rows) {
    INFO("activity " << row.activity);
    CHECK(100 * equilibrium_content(p, row.activity, kIsothermReferenceK) ==
          Approx(row.percent).epsilon(1e-6));
  }
  CHECK(saturation_content(p) == Approx(0.09574468).epsilon(1e-6));
}

// exp(-H/R (1/T - 1/T_ref)) by hand: H -5 kJ/mol, 82 C: 0.713668.
TEST_CASE("a heat of mixing below zero lowers the content of a hot polymer") {
  Polymer p = reference_run::polymer();
  p.heat_of_mixing_j_mol = -5000;
  const double t_k = 82 + kZeroCelsiusK;
  const double cold = equilibrium_content(p, 0.3, kIsothermReferenceK);
  CHECK(equilibrium_content(p, 0.3, t_k) / cold == Approx(0.713668).epsilon(1e-6));
}

TEST_CASE("activity over a content undoes the isotherm") {
  for (const double q : {0.0, 0.53, 0.95}) {
    for (const double h : {-8000.0, 0.0, 2000.0}) {
      for (const double t_k : {253.15, 296.15, 363.15}) {
        for (const double a : {0.0, 1e-9, 0.02, 0.5, 0.99, 1.0}) {
          INFO("q " << q << ", H " << h << ", " << t_k << " K, activity " << a);
          Polymer p = reference_run::polymer();
          p.isotherm_curvature = q;
          p.heat_of_mixing_j_mol = h;
          CHECK(activity_over(p, equilibrium_content(p, a, t_k), t_k) ==
                Approx(a).epsilon(1e-12));
        }
      }
    }
  }
}

TEST_CASE("activity is never above 1") {
  const Polymer p = reference_run::polymer();
  CHECK(activity_over(p, 0.2, kIsothermReferenceK) == 1.0);
}

// By hand: Arrhenius factor exp(-55000/R (1/355.15 - 1/296.15)) = 40.8828; p = ln 10
// multiplies by 10 from dry to saturated.
TEST_CASE("strand diffusivity") {
  const Polymer p = reference_run::polymer();
  const double hot_k = 82 + kZeroCelsiusK;
  struct Row {
    double content, t_k, d_m2_s;
  };
  const double factor = std::exp(-55000 / 8.314462618 * (1 / hot_k - 1 / 296.15));
  const Row rows[] = {{0, 296.15, 2e-13},
                      {saturation_content(p), 296.15, 2e-12},
                      {saturation_content(p) / 2, 296.15, 2e-13 * std::sqrt(10.0)},
                      {0, hot_k, 2e-13 * factor},
                      {saturation_content(p), hot_k, 2e-12 * factor}};
  CHECK(factor == Approx(40.8828).epsilon(1e-6));
  for (const Row& row : rows) {
    INFO("content " << row.content << ", " << row.t_k << " K");
    CHECK(strand_diffusivity_m2_s(p, row.content, row.t_k) ==
          Approx(row.d_m2_s).epsilon(1e-12));
  }
}

}  // namespace
}  // namespace drydepth
