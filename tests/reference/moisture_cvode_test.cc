// Built where SUNDIALS is installed (Debian: libsundials-dev).
#ifdef DRYDEPTH_HAS_CVODE

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "moisture/reference_run.h"
#include "reference/cvode_pack.h"

// The same equations, layers and shells advanced by another solver: SUNDIALS CVODE
// (Hindmarsh et al. 2005, ACM Trans. Math. Softw. 31, 363), at a tight tolerance. What
// is left between the two is the error of our time steps.

namespace drydepth {
namespace {

namespace run = reference_run;

double worst_layer(const PackModel& model, const PackState& a, const PackState& b) {
  double worst = 0;
  for (int i = 0; i < a.layers; ++i) {
    worst = std::max(worst,
                     std::abs(layer_content(model, a, i) - layer_content(model, b, i)));
  }
  return worst;
}

struct Stretch {
  const char* label;
  Surroundings around;
  double hours;
  bool layer_leaves_after;
};

// Invented: a week in a damp room, drying, cooling in the switched-off dryer, then five
// layers printed in open air, half a day each.
std::vector<Stretch> history() {
  Surroundings damp{.air = make_air(Celsius{21}, Activity{0.65})};
  Surroundings cooling = run::heater(75);
  cooling.temperature_rate_k_s = -52.0 / (3 * kSecondsPerHour);
  cooling.vapour_rate_kg_m3_s = 1e-7;
  std::vector<Stretch> out = {{"storage", damp, 168, false},
                              {"drying", run::heater(75), 10, false},
                              {"cooling", cooling, 3, false}};
  for (int k = 0; k < 5; ++k) out.push_back({"printing", run::open_air(), 12, true});
  return out;
}

TEST_CASE("agreement with CVODE over a history") {
  struct Case {
    const char* label;
    double plasticisation, heat_of_mixing_j_mol, hub_open, flange_open;
  };
  for (const Case& c :
       {Case{"reference strand", std::numbers::ln10, 0, 0, 0},
        Case{"constant diffusivity, cold takes more", 0, -4000, 0, 0},
        Case{"open hub and flanges", std::numbers::ln10, -4000, 1, 0.5}}) {
    Polymer p = run::polymer();
    p.plasticisation = c.plasticisation;
    p.heat_of_mixing_j_mol = c.heat_of_mixing_j_mol;
    PackProperties pack = run::pack();
    pack.hub_open_fraction = c.hub_open;
    pack.flange_open_fraction = c.flange_open;
    PackSolver solver(p, run::winding(), pack);
    const PackModel& model = solver.model();
    CvodePack other(model, {});
    PackState ours = solver.uniform(DryBasis{0.015}, Kelvin{run::kRoomK});
    PackState theirs = ours;
    for (const Stretch& s : history()) {
      solver.advance(ours, s.around, s.hours * kSecondsPerHour);
      other.advance(theirs, s.around, s.hours * kSecondsPerHour);
      const double worst = worst_layer(model, ours, theirs);
      INFO(c.label << ", after " << s.label << ", worst layer " << worst);
      CHECK(worst < 1e-5);
      CHECK(worst > 0);
      if (s.layer_leaves_after) {
        drop_layer(model, ours);
        drop_layer(model, theirs);
      }
    }
  }
}

}  // namespace
}  // namespace drydepth

#endif
