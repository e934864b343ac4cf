#include "moisture/pack_matrix.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "moisture/reference_run.h"

// The factorisation knows the Jacobian only as formulas, spread over its elimination.
// So it is held against differences of the rates themselves, column by column: with b =
// (shift I - J) e_k from differences, solve(b) must give e_k back.

namespace drydepth {
namespace {

struct Case {
  const char* label;
  bool chamber, hub_open, flanges_open, dew;
  double plasticisation, heat_of_mixing_j_mol;
};

const Case kCases[] = {
    {"closed", false, false, false, false, std::numbers::ln10, 0},
    {"constant strand diffusivity", false, false, false, false, 0, -4000},
    {"hub open", false, true, false, false, std::numbers::ln10, 0},
    {"flanges open", false, false, true, false, std::numbers::ln10, -8000},
    {"chamber", true, false, false, false, std::numbers::ln10, -4000},
    {"chamber, all open", true, true, true, false, std::numbers::ln10, -4000},
    {"dew", false, false, false, true, std::numbers::ln10, -4000},
    {"dew, chamber, all open, constant", true, true, true, true, 0, -4000},
};

struct Bench {
  PackModel model;
  Surroundings around;
  PackVector y;
  PackTerms terms;
  PackVector rates;

  PackVector rates_at(const PackVector& at) {
    pack_rates(model, around, around.air, model.layers, at, terms, rates);
    return rates;
  }
};

Bench random_bench(const Case& c, int layers, int shells, std::uint32_t seed) {
  std::mt19937 engine(seed);
  const auto random = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(engine()) / 4294967295.0;
  };
  Polymer p = reference_run::polymer();
  p.plasticisation = c.plasticisation;
  p.heat_of_mixing_j_mol = c.heat_of_mixing_j_mol;
  const PackProperties properties{.flange_open_fraction = c.flanges_open ? 0.7 : 0.0,
                                  .hub_open_fraction = c.hub_open ? 0.6 : 0.0};
  Bench out;
  out.model = make_pack_model(p, reference_run::winding(layers), properties,
                              {.shells = shells});
  out.around = {.air = make_air(Celsius{random(10, 90)}, Activity{random(0, 1)}),
                .film_w_m2k = random(4, 20)};
  if (c.chamber) {
    out.around.chamber = Chamber{.volume_m3 = random(0.005, 0.05),
                                 .exchange_m3_s = random(0, 1e-4),
                                 .inlet_kg_m3 = 0.01};
  }
  for (PackVector* v : {&out.y, &out.rates}) v->shape(shells, layers);
  out.terms.shape(shells, layers);
  for (int i = 0; i < layers; ++i) {
    const double t_k = random(285, 360);
    const bool dew = c.dew && i % 2 == 0;
    out.y.temperature()[i] = t_k;
    // Away from the kink at saturation, which no difference can straddle.
    out.y.vapour()[i] = saturated_vapour(t_k).concentration_kg_m3 *
                        (dew ? random(1.05, 1.2) : random(0.02, 0.95));
    for (int j = 0; j < shells; ++j) out.y.content(j)[i] = random(0.0, 0.09);
  }
  out.y.chamber() = random(0.005, 0.05);
  return out;
}

// Size of a typical value of each unknown, by which differences and errors are scaled.
PackVector sizes(int shells, int layers) {
  PackVector out;
  out.shape(shells, layers);
  for (double& v : out.data) v = 0.02;  // contents, vapours, ledgers
  for (int i = 0; i < layers; ++i) out.temperature()[i] = 10.0;
  return out;
}

// J e_k by central differences, extrapolated once: error of fourth order.
PackVector difference(Bench& bench, std::size_t k, double size) {
  const auto central = [&](double step) {
    PackVector up = bench.y, down = bench.y;
    up.data[k] += step;
    down.data[k] -= step;
    PackVector slope = bench.rates_at(up);
    const PackVector low = bench.rates_at(down);
    for (std::size_t n = 0; n < slope.data.size(); ++n) {
      slope.data[n] = (slope.data[n] - low.data[n]) / (2 * step);
    }
    return slope;
  };
  PackVector coarse = central(2e-4 * size), fine = central(1e-4 * size);
  for (std::size_t n = 0; n < fine.data.size(); ++n) {
    fine.data[n] += (fine.data[n] - coarse.data[n]) / 3;
  }
  return fine;
}

double worst_column_error(Bench& bench, double shift) {
  const int layers = bench.model.layers;
  const PackVector size = sizes(bench.model.shells, layers);
  PackMatrix matrix;
  matrix.shape(bench.model.shells, layers);
  bench.rates_at(bench.y);
  matrix.factor(bench.model, bench.around, layers, shift, bench.y, bench.terms,
                bench.rates);
  double worst = 0;
  for (std::size_t k = 0; k < bench.y.data.size(); ++k) {
    PackVector b = difference(bench, k, size.data[k]);
    for (double& v : b.data) v = -v;
    b.data[k] += shift;
    matrix.solve(b);
    b.data[k] -= 1;
    for (std::size_t n = 0; n < b.data.size(); ++n) {
      worst = std::max(worst, std::abs(b.data[n]) * size.data[k] / size.data[n]);
    }
  }
  return worst;
}

TEST_CASE("the factorisation is that of the rates' Jacobian") {
  for (const Case& c : kCases) {
    for (const int layers : {1, 2, 7}) {
      for (const double step_s : {0.5, 60.0, 5000.0}) {
        for (std::uint32_t seed = 1; seed <= 3; ++seed) {
          INFO(c.label << ", " << layers << " layers, step " << step_s << " s, seed "
                       << seed);
          Bench bench = random_bench(c, layers, 6, seed);
          CHECK(worst_column_error(bench, 2.0 / step_s) < 1e-5);
        }
      }
    }
  }
}

}  // namespace
}  // namespace drydepth
