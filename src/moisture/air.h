#pragma once

#include "base/units.h"

namespace drydepth {

/// Molar gas constant, J/(mol K): exact in the SI since 2019.
constexpr double kGasConstant = 8.314462618;
/// Specific gas constant of water vapour, J/(kg K): R over 18.015268 g/mol.
constexpr double kVapourGasConstant = kGasConstant / 0.018015268;

/// Saturation vapour pressure over liquid water, Pa.
///   ln(p/pc) = (Tc/T)(a1 v + a2 v^1.5 + a3 v^3 + a4 v^3.5 + a5 v^4 + a6 v^7.5),
///   v = 1 - T/Tc, Tc = 647.096 K, pc = 22.064 MPa
/// T in K, 250 to 640; below the triple point it is supercooled water, outside the
/// source's range. docs/model.md, equation 1. Source: IAPWS SR1-86(1992), Wagner and
/// Pruss. Test: moisture_air, "saturation pressure: IAPWS SR1-86(1992)", "saturation
/// pressure: IAPWS-IF97" and "saturation pressure: an older table".
double saturation_pressure_pa(double t_k);

/// Saturated vapour concentration c_sat = p_sat/(R_v T), kg/m3, and its relative slope
/// d ln c_sat/dT, 1/K. docs/model.md, equation 1. Ideal gas: 0.2 % low at 20 C, 1 % at
/// 80 C, 1.6 % at 100 C. Test: air, "saturated vapour: slope is the derivative, the gas
/// is ideal" and "saturated vapour: size of the ideal gas error".
struct SaturatedVapour {
  double concentration_kg_m3;
  double log_slope_1_k;
};
SaturatedVapour saturated_vapour(double t_k);

/// Diffusivity of water vapour in air at 101325 Pa, m2/s:
///   D = 2.178e-5 (T/273.15)^1.81
/// docs/model.md, equation 2. Source: Massman 1998, Atmos. Environ. 32, 1111 (constants
/// from memory); the common alternatives lie within 5 %. Test: air, "vapour diffusivity
/// in air".
inline constexpr double kVapourDiffusivityExponent = 1.81;
double vapour_diffusivity_m2_s(double t_k);

/// Latent heat of evaporation, J/kg: h_v = 2.501e6 - 2.36e3 t, t in C. docs/model.md,
/// equation 7. A straight line, choice of the model, within 0.2 % of steam tables (from
/// memory) up to 80 C, 0.4 % at 100 C. Test: air, "latent heat against steam tables".
double latent_heat_j_kg(double t_k);
constexpr double kLatentHeatSlope = -2.36e3;  ///< J/(kg K)

/// Air that a spool stands in.
struct Air {
  double temperature_k = 296.15;
  double vapour_kg_m3 = 0;
};

/// c_air = a p_sat(T)/(R_v T), kg/m3. Test: moisture_air, "humidity over salt solutions
/// goes through air and back".
Air make_air(Celsius temperature, Activity humidity);

/// Room air heated in a vented box: the vapour pressure stays the room's, so
/// a = a_room p_sat(T_room)/p_sat(T), at most 1. docs/model.md, equation 10. Test: air,
/// "room air heated in a vented box" and "a box colder than the room's dew point is at
/// saturation".
Air heated_air(Celsius temperature, Celsius room, Activity room_humidity);

/// Relative humidity of air, 0..1: c/c_sat(T). Test: moisture_air, "humidity over salt
/// solutions goes through air and back".
Activity humidity(const Air& air);

/// Coefficient of mass transfer that goes with a film coefficient of heat transfer,
/// m/s: h_m = h/(rho c_p Le^(2/3)) with 1.1 kg/m3, 1006 J/(kg K) and Le^(2/3) = 0.9
/// (analogy of Chilton and Colburn 1934; constants fixed, no film temperature).
/// docs/model.md, equation 8. Test: air, "films of mass and heat go together".
constexpr double mass_film_m_s(double film_w_m2k) {
  return film_w_m2k / (1.1 * 1006.0 * 0.9);
}

}  // namespace drydepth
