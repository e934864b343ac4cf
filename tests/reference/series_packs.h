#pragma once

// Packs whose solution is known in closed form, run to a dimensionless time.

#include "reference/series.h"

namespace drydepth::series {

/// One strand alone: a pack of one layer, wide open, with a film. The film coefficient
/// that gives a surface resistance l = h a/D is film_for().
class LoneStrand {
 public:
  LoneStrand(double film_w_m2k, int shells)
      : solver_(linear_polymer(kD, 0.5), annulus(0.04, 0.04175, 1, 0.9),
                isothermal(1e6), {.shells = shells, .tolerance = 1e-7}),
        state_(solver_.uniform(DryBasis{kStart}, Kelvin{kTemperatureK})),
        film_w_m2k_(film_w_m2k) {}

  /// Share of the water that has left at T = D t/a^2; T never falls.
  double left_at(double t) {
    const double seconds = t * kRadiusM * kRadiusM / kD;
    solver_.advance(state_, dry_air(film_w_m2k_), seconds - now_s_);
    now_s_ = seconds;
    return 1 - layer_content(solver_.model(), state_, 0) / kStart;
  }

  /// The water of a section pi a^2 leaves through the layer's outer area A at
  /// h_m c_sat X/k, so that h = h_m A c_sat a/(2 f V rho k).
  static double film_for(double l) {
    const LoneStrand probe(1, 1);
    const PackModel& m = probe.solver_.model();
    const double per_film = mass_film_m_s(1) * m.outer_area_m2[0] *
                            saturated_vapour(kTemperatureK).concentration_kg_m3 *
                            kRadiusM /
                            (2 * m.winding.fill * m.volume_m3[0] *
                             m.winding.density_kg_m3 * m.polymer.isotherm_slope);
    return l * kD / kRadiusM / per_film;
  }

 private:
  static constexpr double kD = 1e-12, kRadiusM = 0.875e-3, kStart = 0.01;
  PackSolver solver_;
  PackState state_;
  double film_w_m2k_;
  double now_s_ = 0;
};

/// An annulus from 40 mm outwards whose strands follow their gap at once.
class QuickPack {
 public:
  QuickPack(double k, int layers, bool hub_open)
      : solver_(linear_polymer(1e-6, 0.05), annulus(kInnerM, kInnerM * k, layers, 0.72),
                tight(hub_open), {.shells = 3, .tolerance = 1e-7}),
        state_(solver_.uniform(DryBasis{kStart}, Kelvin{kTemperatureK})),
        depth_m_(kInnerM * (k - 1)) {}

  /// Advances to T = D_app t/(b - a)^2; T never falls.
  void to(double t) {
    const double d = apparent_diffusivity_m2_s(solver_.model());
    const double seconds = t * depth_m_ * depth_m_ / d;
    solver_.advance(state_, dry_air(1e12), seconds - now_s_);
    now_s_ = seconds;
  }
  double remaining() const { return mean_content(solver_.model(), state_) / kStart; }
  double remaining(int layer) const {
    return layer_content(solver_.model(), state_, layer) / kStart;
  }
  /// Middle of a layer, the inner radius being 1.
  double radius(int layer) const {
    const auto& edges = solver_.model().winding.edges_m;
    const auto i = static_cast<std::size_t>(layer);
    return (edges[i] + edges[i + 1]) / 2 / kInnerM;
  }

 private:
  // So tight that the hub's film of fixed size resists nothing.
  static PackProperties tight(bool hub_open) {
    PackProperties p = isothermal(1e-4);
    p.hub_open_fraction = hub_open ? 1 : 0;
    return p;
  }

  static constexpr double kInnerM = 0.04, kStart = 0.01;
  PackSolver solver_;
  PackState state_;
  double depth_m_;
  double now_s_ = 0;
};

}  // namespace drydepth::series
