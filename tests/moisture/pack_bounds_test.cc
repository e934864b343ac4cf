#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <string>

#include "base/parallel.h"
#include "moisture/reference_run.h"

// Hostile but possible spools: whatever a record or an ensemble may ask for must end in
// finite contents within the bounds that physics sets, and keep its water.

namespace drydepth {
namespace {

#if !defined(NDEBUG) || defined(__SANITIZE_ADDRESS__)
constexpr std::size_t kCases = 150;
#else
constexpr std::size_t kCases = 2000;
#endif

struct Random {
  std::mt19937_64 engine;

  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine() >> 11) / 0x1p53;
  }
  double log_between(double low, double high) {
    return std::exp(between(std::log(low), std::log(high)));
  }
  bool chance(double p) { return between(0, 1) < p; }
};

struct Spool {
  Polymer polymer;
  Winding winding;
  PackProperties pack;
  double start = 0;
  double start_k = 0;
};

Spool random_spool(Random& random) {
  Spool out;
  out.polymer = reference_run::polymer();
  out.polymer.isotherm_slope = random.log_between(0.001, 0.2);
  out.polymer.isotherm_curvature = random.between(0, 0.9);
  out.polymer.heat_of_mixing_j_mol = random.between(-8000, 0);
  out.polymer.diffusivity_ref_m2_s = random.log_between(1e-16, 1e-9);
  out.polymer.activation_j_mol = random.between(20e3, 80e3);
  out.polymer.plasticisation = random.chance(0.2) ? 0 : random.between(0, 5);
  out.pack.gap_factor = random.log_between(1e-4, 1);
  out.pack.side_w_m2k = random.log_between(0.5, 30);
  if (random.chance(0.3)) out.pack.flange_open_fraction = random.between(0, 1);
  if (random.chance(0.3)) out.pack.hub_open_fraction = random.between(0, 1);
  const int layers = static_cast<int>(random.log_between(1, 200.99));
  out.winding = reference_run::winding(layers);
  out.winding.fill = random.between(0.4, 0.9);
  if (random.chance(0.3)) {
    out.winding.edges_m.back() -= 1.6e-3 * random.between(0, 1);
    out.winding.outer_radius_m = out.winding.edges_m.back();
  }
  out.start_k = random.between(263, 310);
  out.start = random.chance(0.1) ? 0 : random.between(0, 1);
  if (random.chance(0.1)) out.start = 1;
  out.start *= equilibrium_content(out.polymer, 1, out.start_k);
  return out;
}

struct Stretch {
  Surroundings around;
  double seconds = 0;
  double drawn_kg = 0;
};

Stretch random_stretch(Random& random) {
  Stretch out;
  const double celsius =
      random.chance(0.4) ? random.between(50, 120) : random.between(-10, 45);
  const double rh = random.chance(0.15)   ? 0
                    : random.chance(0.15) ? 1
                                          : random.between(0, 1);
  out.around.air = make_air(Celsius{celsius}, Activity{rh});
  out.around.film_w_m2k = random.log_between(2, 60);
  // No room holds more vapour than saturated air of 45 C, so that wetter air, as a bad
  // sensor may log it, lasts a day at most: dew has no bound but time.
  const double days = out.around.air.vapour_kg_m3 > 0.0655 ? 1 : 2 * 365;
  out.seconds = random.log_between(1, days * 24 * kSecondsPerHour);
  if (random.chance(0.2)) {
    // Drifting to other air, as between two rows of a log.
    const Air end =
        make_air(Celsius{random.between(0, 90)}, Activity{random.between(0, 1)});
    out.around.temperature_rate_k_s =
        (end.temperature_k - out.around.air.temperature_k) / out.seconds;
    out.around.vapour_rate_kg_m3_s =
        (end.vapour_kg_m3 - out.around.air.vapour_kg_m3) / out.seconds;
  }
  if (random.chance(0.2)) {
    out.around.chamber = Chamber{
        .volume_m3 = random.log_between(1e-3, 1),
        .exchange_m3_s = random.chance(0.3) ? 0 : random.log_between(1e-7, 1e-2),
        .inlet_kg_m3 = out.around.air.vapour_kg_m3};
  }
  if (random.chance(0.3)) out.drawn_kg = random.log_between(1e-3, 1);
  return out;
}

// What a case must never show, in words; empty where all is well.
std::string trouble_in(const PackModel& model, const PackState& state, double initial,
                       double top) {
  for (int i = 0; i < state.layers; ++i) {
    const double t_k = state.y.temperature()[i];
    if (!std::isfinite(t_k) || t_k < 200 || t_k > 450) return "temperature";
    const double w = state.y.vapour()[i];
    if (!std::isfinite(w) || w < 0) return "gap vapour";
    for (int j = 0; j < model.shells; ++j) {
      const double x = state.y.content(j)[i];
      if (!std::isfinite(x)) return "content not finite";
      if (x < 0) return "content negative";
      if (x > top * (1 + 1e-12)) return "content above saturation";
    }
  }
  const double now = water_kg(model, state) + state.y.released() + state.removed_kg;
  // The ledger rounds at the size of what has passed through it.
  const double size = std::max(initial, std::abs(state.y.released()));
  if (!(std::abs(now - initial) <= 1e-9 * size + 1e-15)) return "water lost";
  return {};
}

// The coldest that a layer may have been; X_eq(1, T) is largest there.
double coldest(const PackState& state, const Stretch& s, double before_k) {
  double t_k = std::min(before_k, s.around.air.temperature_k);
  t_k = std::min(
      t_k, s.around.air.temperature_k + s.around.temperature_rate_k_s * s.seconds);
  for (int i = 0; i < state.layers; ++i) t_k = std::min(t_k, state.y.temperature()[i]);
  return t_k;
}

struct Outcome {
  std::string trouble;
  bool strained = false;
  int steps = 0;
};

Outcome run_case(std::uint64_t seed) {
  Random random{std::mt19937_64(seed)};
  const Spool spool = random_spool(random);
  PackSolver solver(spool.polymer, spool.winding, spool.pack);
  PackState state = solver.uniform(DryBasis{spool.start}, Kelvin{spool.start_k});
  state.y.chamber() = 0.005;
  const double initial = water_kg(solver.model(), state);
  double cold_k = spool.start_k;
  Outcome out;
  const int stretches = 1 + static_cast<int>(random.between(0, 4));
  for (int n = 0; n < stretches && out.trouble.empty(); ++n) {
    const Stretch s = random_stretch(random);
    PackSummary summary;
    if (s.drawn_kg > 0) {
      const DrawPoint curve[] = {{0, 0}, {s.seconds, s.drawn_kg}};
      summary = draw(solver, state, s.around, curve).summary;
    } else {
      summary = solver.advance(state, s.around, s.seconds);
    }
    cold_k = coldest(state, s, cold_k);
    // Evaporation cools below the air, by up to this much in the driest and hottest.
    const double top =
        std::max(spool.start, equilibrium_content(spool.polymer, 1, cold_k - 40));
    out.strained |= summary.strained;
    out.steps += summary.steps + summary.rejected;
    out.trouble = trouble_in(solver.model(), state, initial, top);
  }
  return out;
}

TEST_CASE("hostile spools stay finite, within bounds and keep their water") {
  std::vector<Outcome> outcomes(kCases);
  for_each_index(kCases, 0, [&](std::size_t k) { outcomes[k] = run_case(k); });
  for (std::size_t k = 0; k < kCases; ++k) {
    INFO("seed " << k);
    CHECK(outcomes[k].trouble == "");
    CHECK_FALSE(outcomes[k].strained);
    CHECK(outcomes[k].steps < 20000);
  }
}

}  // namespace
}  // namespace drydepth
