#include <catch2/catch.hpp>
#include <vector>

#include "moisture/air.h"
#include "moisture/winding.h"

// Air and mass against published tables and hand arithmetic.

namespace drydepth {
namespace {

// IAPWS SR1-86(1992), Wagner and Pruss: the triple point 611.657 Pa and the normal
// boiling point 373.1243 K are the standard's; the other rows are its formula in
// decimal arithmetic, apart from this code.
TEST_CASE("saturation pressure: IAPWS SR1-86(1992)") {
  struct Row {
    double t_k, pa;
  };
  const Row rows[] = {{273.16, 611.65707},  {293.15, 2339.19374}, {296.15, 2810.9554},
                      {298.15, 3169.82449}, {313.15, 7385.11047}, {323.15, 12352.47887},
                      {333.15, 19947.3825}, {343.15, 31202.1985}, {353.15, 47415.7843},
                      {363.15, 70182.6776}, {373.15, 101417.994}, {393.15, 198671.425}};
  for (const Row& row : rows) {
    INFO(row.t_k << " K");
    CHECK(saturation_pressure_pa(row.t_k) == Approx(row.pa).epsilon(5e-9));
  }
  CHECK(saturation_pressure_pa(273.16) == Approx(611.657).epsilon(1e-6));
  CHECK(saturation_pressure_pa(373.1243) == Approx(101325).epsilon(1e-6));
}

// IAPWS-IF97, table 35 (saturation pressure, eq. 30) at 300, 500 and 600 K, and table
// 36 (its inverse, eq. 31): another formula of the same body, agreeing within 0.03 %.
TEST_CASE("saturation pressure: IAPWS-IF97") {
  struct Row {
    double t_k, pa;
  };
  const Row rows[] = {{300, 0.353658941e4}, {500, 0.263889776e7}, {600, 0.123443146e8},
                      {372.755919, 0.1e6},  {453.035632, 1e6},    {584.149488, 10e6}};
  for (const Row& row : rows) {
    INFO(row.t_k << " K");
    CHECK(saturation_pressure_pa(row.t_k) == Approx(row.pa).epsilon(3e-4));
  }
}

// CRC Handbook of Chemistry and Physics 1992-93 (temperatures of IPTS-68), kPa.
TEST_CASE("saturation pressure: an older table") {
  struct Row {
    double celsius, kpa;
  };
  const Row rows[] = {{20, 2.3388}, {25, 3.169},  {50, 12.344}, {60, 19.932},
                      {70, 31.176}, {80, 47.373}, {90, 70.117}};
  for (const Row& row : rows) {
    INFO(row.celsius << " C");
    CHECK(saturation_pressure_pa(row.celsius + kZeroCelsiusK) ==
          Approx(1e3 * row.kpa).epsilon(1.2e-3));
  }
}

// Greenspan 1977, J. Res. NBS 81A, 89: humidity over saturated salt solutions, percent,
// as polynomials in t (C). The printed table is rounded to 0.01 (some values from
// memory), hence 0.015. Air made at such a humidity must give it back.
TEST_CASE("humidity over salt solutions goes through air and back") {
  struct Row {
    const char* salt;
    std::vector<double> polynomial;
    double celsius, table_percent;
  };
  const std::vector<double> licl = {11.2323, 0.00824245, -2.14890e-4};
  const std::vector<double> mgcl2 = {33.6686, -0.00797397, -1.08988e-3};
  const std::vector<double> mgno3 = {60.3514, -0.298153};
  const std::vector<double> nacl = {75.5164, 0.0398321, -2.65459e-3, 2.848e-5};
  const std::vector<double> kcl = {88.6190, -0.193340, 8.99706e-4};
  const std::vector<double> k2so4 = {98.7792, -0.0590502};
  const Row rows[] = {
      {"LiCl", licl, 0, 11.23},       {"LiCl", licl, 25, 11.30},
      {"MgCl2", mgcl2, 20, 33.07},    {"MgCl2", mgcl2, 25, 32.78},
      {"Mg(NO3)2", mgno3, 20, 54.38}, {"Mg(NO3)2", mgno3, 25, 52.89},
      {"NaCl", nacl, 0, 75.51},       {"NaCl", nacl, 25, 75.29},
      {"NaCl", nacl, 50, 74.43},      {"KCl", kcl, 25, 84.34},
      {"K2SO4", k2so4, 20, 97.59},    {"K2SO4", k2so4, 50, 95.83},
  };
  for (const Row& row : rows) {
    INFO(row.salt << " at " << row.celsius << " C");
    double percent = 0;
    for (std::size_t k = row.polynomial.size(); k > 0; --k) {
      percent = percent * row.celsius + row.polynomial[k - 1];
    }
    CHECK(percent == Approx(row.table_percent).margin(0.015));
    const Air air = make_air(Celsius{row.celsius}, Activity{percent / 100});
    CHECK(100 * humidity(air).value == Approx(percent).epsilon(1e-14));
    // The ideal gas at that pressure: c R_v T = RH p_sat.
    CHECK(air.vapour_kg_m3 * kVapourGasConstant * air.temperature_k ==
          Approx(percent / 100 * saturation_pressure_pa(air.temperature_k)));
  }
}

// By hand: pi/4 (1.75 mm)^2 = 2.405282 mm2, so 1 m at 1.14 g/cm3 is 2.742 g.
TEST_CASE("length and mass of filament") {
  struct Row {
    double diameter_mm, density_g_cm3, length_m, mass_g;
  };
  const Row rows[] = {{1.75, 1.14, 1, 2.742021},
                      {1.75, 1.24, 100, 298.2549},
                      {2.85, 1.14, 1, 7.272512},
                      {2.85, 1.24, 1, 7.910452}};
  for (const Row& row : rows) {
    INFO(row.diameter_mm << " mm, " << row.density_g_cm3 << " g/cm3");
    const double d_m = row.diameter_mm / 1e3, rho = row.density_g_cm3 * 1e3;
    CHECK(1e3 * strand_mass_kg(row.length_m, d_m, rho) ==
          Approx(row.mass_g).epsilon(1e-6));
  }
}

}  // namespace
}  // namespace drydepth
