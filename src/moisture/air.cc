#include "moisture/air.h"

#include <algorithm>
#include <cmath>

namespace drydepth {
namespace {

constexpr double kCriticalK = 647.096;
constexpr double kCriticalPa = 22.064e6;
// Equation 1 of docs/model.md: IAPWS SR1-86(1992), Wagner and Pruss, the saturation
// line. Critical point above, coefficients without a unit below.
constexpr double kA1 = -7.85951783, kA2 = 1.84408259, kA3 = -11.7866497;
constexpr double kA4 = 22.6807411, kA5 = -15.9618719, kA6 = 1.80122502;

struct LogPressure {
  double value;      // ln(p/pc)
  double slope_1_k;  // d ln p/dT
};

LogPressure log_saturation_pressure(double t_k) {
  // Equation 1: v = 1 - T/Tc, sum = a1 v + a2 v^1.5 + ..., dsum its derivative by v.
  const double tau = kCriticalK / t_k;
  const double v = 1.0 - t_k / kCriticalK;
  const double root = std::sqrt(v);
  const double v2 = v * v, v3 = v2 * v, v6 = v3 * v3;
  const double sum =
      v * (kA1 + kA2 * root) + v3 * (kA3 + kA4 * root + kA5 * v) + kA6 * v6 * v * root;
  const double dsum = kA1 + 1.5 * kA2 * root +
                      v2 * (3.0 * kA3 + 3.5 * kA4 * root + 4.0 * kA5 * v) +
                      7.5 * kA6 * v6 * root;
  // d/dT[(Tc/T) sum(v(T))] = -(Tc/T2) sum - (1/T) sum'(v) (derived). Test: air,
  // "saturated vapour: slope is the derivative, the gas is ideal".
  return {tau * sum, -(tau * sum + dsum) / t_k};
}

}  // namespace

double saturation_pressure_pa(double t_k) {
  return kCriticalPa * std::exp(log_saturation_pressure(t_k).value);
}

SaturatedVapour saturated_vapour(double t_k) {
  // Equation 1: c_sat = p_sat/(R_v T), so d ln c_sat/dT = d ln p_sat/dT - 1/T.
  const LogPressure p = log_saturation_pressure(t_k);
  return {kCriticalPa * std::exp(p.value) / (kVapourGasConstant * t_k),
          p.slope_1_k - 1.0 / t_k};
}

double vapour_diffusivity_m2_s(double t_k) {
  // Equation 2: m2/s, 273.15 K, 101325 Pa (Massman 1998, constants from memory).
  return 2.178e-5 * std::pow(t_k / kZeroCelsiusK, kVapourDiffusivityExponent);
}

double latent_heat_j_kg(double t_k) {
  // Equation 7, h_v: J/kg at 0 C, J/(kg K).
  return 2.501e6 + kLatentHeatSlope * (t_k - kZeroCelsiusK);
}

Air make_air(Celsius temperature, Activity humidity) {
  const double t_k = to_kelvin(temperature).value;
  return {t_k, humidity.value * saturated_vapour(t_k).concentration_kg_m3};
}

Air heated_air(Celsius temperature, Celsius room, Activity room_humidity) {
  // Equation 10, heated room air.
  const double hot = saturation_pressure_pa(to_kelvin(temperature).value);
  const double cold = saturation_pressure_pa(to_kelvin(room).value);
  return make_air(temperature,
                  Activity{std::min(1.0, room_humidity.value * cold / hot)});
}

Activity humidity(const Air& air) {
  return Activity{air.vapour_kg_m3 /
                  saturated_vapour(air.temperature_k).concentration_kg_m3};
}

}  // namespace drydepth
