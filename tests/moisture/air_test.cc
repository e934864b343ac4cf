#include "moisture/air.h"

#include <catch2/catch.hpp>
#include <cmath>

namespace drydepth {
namespace {

TEST_CASE("saturated vapour: slope is the derivative, the gas is ideal") {
  for (const double celsius : {-20.0, 0.01, 23.0, 55.0, 82.0, 110.0, 150.0}) {
    INFO(celsius << " C");
    const double t_k = celsius + kZeroCelsiusK, step = 0.01;
    const SaturatedVapour here = saturated_vapour(t_k);
    CHECK(here.concentration_kg_m3 * kVapourGasConstant * t_k ==
          Approx(saturation_pressure_pa(t_k)).epsilon(1e-14));
    const double rise = std::log(saturated_vapour(t_k + step).concentration_kg_m3 /
                                 saturated_vapour(t_k - step).concentration_kg_m3);
    CHECK(here.log_slope_1_k == Approx(rise / (2 * step)).epsilon(1e-7));
  }
}

// Density of saturated steam, kg/m3: steam tables, from memory.
TEST_CASE("saturated vapour: size of the ideal gas error") {
  struct Row {
    double celsius, steam_kg_m3, share_low;
  };
  const Row rows[] = {
      {20, 0.017314, 0.002}, {80, 0.29367, 0.010}, {100, 0.59817, 0.016}};
  for (const Row& row : rows) {
    INFO(row.celsius << " C");
    const double ideal =
        saturated_vapour(row.celsius + kZeroCelsiusK).concentration_kg_m3;
    CHECK(ideal < row.steam_kg_m3);
    CHECK(ideal > row.steam_kg_m3 * (1 - row.share_low));
  }
}

// Massman 1998, Atmos. Environ. 32, 1111: 0.2178e-4 (T/273.15)^1.81 (constants from
// memory), worked out apart in decimal arithmetic. The second value is Monteith and
// Unsworth's 2.12e-5 (T/273.15)^1.75, the farthest below.
TEST_CASE("vapour diffusivity in air") {
  struct Row {
    double celsius, massman_m2_s, monteith_m2_s;
  };
  const Row rows[] = {{0, 2.17800e-5, 2.12000e-5},  {23, 2.52120e-5, 2.44219e-5},
                      {50, 2.95252e-5, 2.84506e-5}, {70, 3.29153e-5, 3.16032e-5},
                      {80, 3.46719e-5, 3.32325e-5}, {100, 3.83072e-5, 3.65957e-5}};
  for (const Row& row : rows) {
    INFO(row.celsius << " C");
    const double d = vapour_diffusivity_m2_s(row.celsius + kZeroCelsiusK);
    CHECK(d == Approx(row.massman_m2_s).epsilon(2e-6));
    CHECK(d == Approx(row.monteith_m2_s).epsilon(0.05));
  }
}

// Steam tables, from memory.
TEST_CASE("latent heat against steam tables") {
  struct Row {
    double celsius, steam_j_kg, share;
  };
  const Row rows[] = {{0.01, 2500.9e3, 0.0002},
                      {20, 2453.5e3, 0.0005},
                      {50, 2382.0e3, 0.001},
                      {80, 2308.0e3, 0.002},
                      {100, 2256.4e3, 0.004}};
  for (const Row& row : rows) {
    INFO(row.celsius << " C");
    CHECK(latent_heat_j_kg(row.celsius + kZeroCelsiusK) ==
          Approx(row.steam_j_kg).epsilon(row.share));
  }
}

// The floor below which a box without desiccant cannot go. Percent, from IAPWS
// pressures, worked out apart and rounded to the digits shown.
TEST_CASE("room air heated in a vented box") {
  struct Row {
    double celsius, from_20c_40, from_23c_50;
  };
  const Row rows[] = {{45, 9.75, 14.65}, {50, 7.57, 11.38}, {55, 5.94, 8.92},
                      {60, 4.69, 7.05},  {65, 3.74, 5.61},  {70, 3.00, 4.50},
                      {80, 1.97, 2.96},  {90, 1.33, 2.00},  {110, 0.65, 0.98}};
  const auto percent = [](double box, double room, double rh) {
    return 100 * humidity(heated_air(Celsius{box}, Celsius{room}, Activity{rh})).value;
  };
  for (const Row& row : rows) {
    INFO(row.celsius << " C");
    CHECK(percent(row.celsius, 20, 0.40) == Approx(row.from_20c_40).margin(0.0051));
    CHECK(percent(row.celsius, 23, 0.50) == Approx(row.from_23c_50).margin(0.0051));
  }
}

TEST_CASE("a box colder than the room's dew point is at saturation") {
  CHECK(humidity(heated_air(Celsius{5}, Celsius{30}, Activity{0.9})).value ==
        Approx(1.0).epsilon(1e-14));
}

TEST_CASE("films of mass and heat go together") {
  CHECK(mass_film_m_s(12) == Approx(0.0120489186).epsilon(1e-8));  // 12/995.94
}

}  // namespace
}  // namespace drydepth
