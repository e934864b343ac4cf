#include "moisture/winding.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace drydepth {
namespace {

using std::numbers::pi;

// docs/model.md, "Geometry": m = f rho pi W (r_o^2 - r_h^2).
double annulus_mass_kg(const WindingFacts& facts, double inner_m, double outer_m,
                       double fill) {
  return fill * facts.density_kg_m3 * pi * facts.width_m *
         (outer_m * outer_m - inner_m * inner_m);
}

// The same solved for r_o^2 - r_h^2, at the default fill.
double squared_span_m2(const WindingFacts& facts) {
  return *facts.dry_mass_kg / (kDefaultFill * facts.density_kg_m3 * pi * facts.width_m);
}

}  // namespace

Winding make_winding(const WindingFacts& facts) {
  const int known = facts.hub_radius_m.has_value() + facts.outer_radius_m.has_value() +
                    facts.dry_mass_kg.has_value();
  assert(known >= 2);
  (void)known;
  Winding w;
  w.strand_diameter_m = facts.strand_diameter_m;
  w.width_m = facts.width_m;
  w.density_kg_m3 = facts.density_kg_m3;
  if (!facts.hub_radius_m) {
    w.outer_radius_m = *facts.outer_radius_m;
    w.hub_radius_m =
        std::sqrt(w.outer_radius_m * w.outer_radius_m - squared_span_m2(facts));
  } else if (!facts.outer_radius_m) {
    w.hub_radius_m = *facts.hub_radius_m;
    w.outer_radius_m =
        std::sqrt(w.hub_radius_m * w.hub_radius_m + squared_span_m2(facts));
  } else {
    w.hub_radius_m = *facts.hub_radius_m;
    w.outer_radius_m = *facts.outer_radius_m;
    if (facts.dry_mass_kg) {  // f = m/(rho pi W (r_o^2 - r_h^2))
      w.fill = *facts.dry_mass_kg /
               annulus_mass_kg(facts, w.hub_radius_m, w.outer_radius_m, 1.0);
    }
  }
  // N = ceil((r_o - r_h)/d - 0.05); at least one layer, however thin.
  const double pitches = (w.outer_radius_m - w.hub_radius_m) / w.strand_diameter_m;
  const int count = std::max(1, static_cast<int>(std::ceil(pitches - 0.05)));
  for (int i = 0; i < count; ++i) {
    w.edges_m.push_back(w.hub_radius_m + i * w.strand_diameter_m);
  }
  w.edges_m.push_back(w.outer_radius_m);
  return w;
}

double layer_volume_m3(const Winding& winding, int layer) {
  const double inner = winding.edges_m[static_cast<std::size_t>(layer)];
  const double outer = winding.edges_m[static_cast<std::size_t>(layer) + 1];
  return pi * winding.width_m * (outer * outer - inner * inner);
}

double layer_mass_kg(const Winding& winding, int layer) {
  return winding.fill * winding.density_kg_m3 * layer_volume_m3(winding, layer);
}

double dry_mass_kg(const Winding& winding) {
  double sum = 0;
  for (int i = 0; i < winding.layers(); ++i) sum += layer_mass_kg(winding, i);
  return sum;
}

double strand_mass_kg(double length_m, double diameter_m, double density_kg_m3) {
  return length_m * density_kg_m3 * pi * diameter_m * diameter_m / 4.0;
}

}  // namespace drydepth
