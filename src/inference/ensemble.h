#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace drydepth {

/// How sure the central values are: standard deviations, of the natural logarithm where
/// "log" stands. Sources per material in rules/materials; the pack's in docs/model.md.
struct Priors {
  double gap_factor_log = 0.6;
  double diffusivity_log = 0.7;
  double film_log = 0.25;
  double side_log = 0.25;
  double isotherm_log = 0.12;
  double heat_of_mixing_j_mol = 3000;
  double opening_content = 0.006;  ///< kg/kg
  double dryer_air_k = 3;          ///< of dryer air that was set but not logged
  double dry_mass = 0.015;         ///< relative
  double tare_kg = 0.005;
  double used = 1;  ///< in units of the record's own sd of what was used
  double scale_drift_kg_day = 0.0002;  ///< common practice, no source
  double body_time_log = 0.7;          ///< of a body that holds water
};

/// One way the world may be: factors on, or offsets from, the central values.
struct Member {
  double gap_factor = 1;
  double diffusivity = 1;
  double film = 1;
  double side = 1;
  double isotherm = 1;
  double heat_of_mixing_j_mol = 0;
  double opening_content = 0;
  double dryer_air_k = 0;
  double body_time = 1;
  double dry_mass = 1;  ///< as the scale sees it; the winding's layers are not varied
  double tare_kg = 0;
  double used = 0;
  double scale_drift_kg_day = 0;
};

/// How a standard normal z becomes a member's value, with the prior's spread s. Test:
/// ensemble, "each stratum of each unknown is taken once", "a member goes back to its
/// normals".
enum class Acts {
  kFactor,  ///< exp(s z)
  kOffset,  ///< s z
  kShare    ///< 1 + s z
};

/// One unknown: its name, its place in a member, how sure its central value is.
struct Unknown {
  std::string_view name;
  double Member::*value;
  double Priors::*spread;
  Acts acts;
};

/// The unknowns of a member, the one list of them. As a vector they are standard
/// normals in this order: first those that bend the model, then those that only add to
/// what a scale shows. What is drawn, fitted, kept in a file, weighed for its share and
/// shown follows from it.
constexpr std::size_t kBending = 9;
constexpr std::size_t kAdditive = 4;
constexpr std::array<Unknown, kBending + kAdditive> kUnknowns = {{
    {"gap_factor", &Member::gap_factor, &Priors::gap_factor_log, Acts::kFactor},
    {"diffusivity", &Member::diffusivity, &Priors::diffusivity_log, Acts::kFactor},
    {"film", &Member::film, &Priors::film_log, Acts::kFactor},
    {"side", &Member::side, &Priors::side_log, Acts::kFactor},
    {"isotherm", &Member::isotherm, &Priors::isotherm_log, Acts::kFactor},
    {"heat_of_mixing", &Member::heat_of_mixing_j_mol, &Priors::heat_of_mixing_j_mol,
     Acts::kOffset},
    {"opening", &Member::opening_content, &Priors::opening_content, Acts::kOffset},
    {"dryer_air", &Member::dryer_air_k, &Priors::dryer_air_k, Acts::kOffset},
    {"body_time", &Member::body_time, &Priors::body_time_log, Acts::kFactor},
    {"dry_mass", &Member::dry_mass, &Priors::dry_mass, Acts::kShare},
    {"tare", &Member::tare_kg, &Priors::tare_kg, Acts::kOffset},
    {"used", &Member::used, &Priors::used, Acts::kOffset},
    {"scale_drift", &Member::scale_drift_kg_day, &Priors::scale_drift_kg_day,
     Acts::kOffset},
}};
/// One number an unknown, in the order of the list.
using Normals = std::array<double, kUnknowns.size()>;

Member to_member(const Priors& priors, std::span<const double> normals);
/// The way back; 0 where the prior leaves no spread.
Normals to_normals(const Priors& priors, const Member& member);

/// Standard normals by Latin hypercube, a vector a member: each unknown takes the
/// middle of each of `count` equally likely strata once, in an order that the seed
/// fixes. Source: McKay, Beckman, Conover 1979, Technometrics 21, 239, with middles in
/// place of random points. Test: ensemble, "each stratum of each unknown is taken once"
/// and "the unknowns are paired at random".
std::vector<std::vector<double>> hypercube(std::size_t count, std::size_t unknowns,
                                           std::uint64_t seed);

/// Members drawn from the priors. Same bytes for the same arguments everywhere.
std::vector<Member> draw_members(const Priors& priors, std::size_t count,
                                 std::uint64_t seed);

/// The single member at the central values.
inline std::vector<Member> nominal_member() { return {Member{}}; }

/// Standard normal quantile: x with Phi(x) = p, 0 < p < 1. To rounding, by Newton's
/// method on erfc. Test: ensemble, "normal quantile" and "normal quantile undoes the
/// distribution far into the tail".
double normal_quantile(double p);

/// 10 %, 50 % and 90 % of a sample; one value stands for all three.
struct Percentiles {
  double p10 = 0, p50 = 0, p90 = 0;
};

/// Linear between order statistics; infinities allowed (and never mixed with finite
/// values: the nearest one stands). The sample must not be empty. Source: definition 7
/// of Hyndman and Fan 1996, Am. Stat. 50, 361. Test: ensemble, "percentiles".
Percentiles percentiles(std::span<const double> sample);

}  // namespace drydepth
