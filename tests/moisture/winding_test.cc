#include "moisture/winding.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "moisture/reference_run.h"

namespace drydepth {
namespace {

constexpr double kDiameterM = 1.75e-3;

// The reference spool: its mass is pi 0.055 (0.0925^2 - 0.040^2) 0.72 1130 = 0.97791
// kg.
WindingFacts facts() {
  return {.strand_diameter_m = kDiameterM, .width_m = 0.055, .density_kg_m3 = 1130};
}

TEST_CASE("layer count: whole, partial and sliver") {
  struct Row {
    const char* label;
    double pitches;
    int layers;
    double outermost_pitches;
  };
  const Row rows[] = {
      {"whole layers", 30.0, 30, 1.0},
      {"half a layer more", 30.5, 31, 0.5},
      {"just enough for a layer", 30.06, 31, 0.06},
      {"a sliver goes to the layer beneath", 30.04, 30, 1.04},
      {"less than one layer", 0.4, 1, 0.4},
      {"a sliver alone is still a layer", 0.02, 1, 0.02},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    WindingFacts f = facts();
    f.hub_radius_m = 0.040;
    f.outer_radius_m = 0.040 + row.pitches * kDiameterM;
    const Winding w = make_winding(f);
    REQUIRE(w.layers() == row.layers);
    CHECK(w.edges_m.front() == 0.040);
    CHECK(w.edges_m.back() == *f.outer_radius_m);
    const double outermost = w.edges_m.back() - w.edges_m[w.edges_m.size() - 2];
    CHECK(outermost / kDiameterM == Approx(row.outermost_pitches).epsilon(1e-9));
    CHECK(w.fill == kDefaultFill);
  }
}

TEST_CASE("two of three facts make the same spool") {
  const double mass = 0.9779095;
  struct Row {
    const char* label;
    bool hub, outer, mass;
  };
  const Row rows[] = {{"radii", true, true, false},
                      {"hub and mass", true, false, true},
                      {"outer and mass", false, true, true},
                      {"all three", true, true, true}};
  for (const Row& row : rows) {
    INFO(row.label);
    WindingFacts f = facts();
    if (row.hub) f.hub_radius_m = 0.040;
    if (row.outer) f.outer_radius_m = 0.0925;
    if (row.mass) f.dry_mass_kg = mass;
    const Winding w = make_winding(f);
    CHECK(w.hub_radius_m == Approx(0.040).epsilon(1e-6));
    CHECK(w.outer_radius_m == Approx(0.0925).epsilon(1e-6));
    CHECK(w.fill == Approx(0.72).epsilon(1e-6));
    CHECK(dry_mass_kg(w) == Approx(mass).epsilon(1e-6));
    CHECK(w.layers() == 30);
  }
}

TEST_CASE("the fill follows from the mass") {
  WindingFacts f = facts();
  f.hub_radius_m = 0.040;
  f.outer_radius_m = 0.0925;
  f.dry_mass_kg = 0.8;
  const Winding w = make_winding(f);
  CHECK(w.fill == Approx(0.72 * 0.8 / 0.9779095).epsilon(1e-6));
  CHECK(dry_mass_kg(w) == Approx(0.8).epsilon(1e-12));
}

TEST_CASE("layers add up to the annulus") {
  WindingFacts f = facts();
  f.hub_radius_m = 0.035;
  f.outer_radius_m = 0.0871;  // outermost layer partial
  const Winding w = make_winding(f);
  double volume = 0, mass = 0;
  for (int i = 0; i < w.layers(); ++i) {
    volume += layer_volume_m3(w, i);
    mass += layer_mass_kg(w, i);
  }
  const double annulus = std::numbers::pi * 0.055 * (0.0871 * 0.0871 - 0.035 * 0.035);
  CHECK(volume == Approx(annulus).epsilon(1e-13));
  CHECK(mass == Approx(annulus * 0.72 * 1130).epsilon(1e-13));
  CHECK(dry_mass_kg(w) == mass);
}

TEST_CASE("mass of the reference spool") {
  CHECK(dry_mass_kg(reference_run::winding()) == Approx(0.97791).epsilon(1e-5));
}

}  // namespace
}  // namespace drydepth
