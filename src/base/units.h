#pragma once

#include <compare>

namespace drydepth {

/// A double that cannot be taken for another kind of double. Only for pairs of numbers
/// that are both plausible and wrong when swapped; every other raw number is SI and
/// says its unit in its name. No arithmetic across kinds: conversions are named
/// functions.
template <class Tag>
struct Quantity {
  double value;
  explicit constexpr Quantity(double v) : value(v) {}
  friend constexpr auto operator<=>(Quantity, Quantity) = default;
};

using Celsius = Quantity<struct CelsiusTag>;
using Kelvin = Quantity<struct KelvinTag>;
/// Relative humidity or water activity, 0..1.
using Activity = Quantity<struct ActivityTag>;
/// kg water per kg dry polymer. The basis of everything inside.
using DryBasis = Quantity<struct DryBasisTag>;
/// kg water per kg wet polymer, as a Karl Fischer report or a data sheet states it.
using WetBasis = Quantity<struct WetBasisTag>;

constexpr double kZeroCelsiusK = 273.15;

constexpr Kelvin to_kelvin(Celsius t) { return Kelvin{t.value + kZeroCelsiusK}; }
constexpr Celsius to_celsius(Kelvin t) { return Celsius{t.value - kZeroCelsiusK}; }
constexpr DryBasis to_dry_basis(WetBasis w) {
  return DryBasis{w.value / (1.0 - w.value)};
}
constexpr WetBasis to_wet_basis(DryBasis x) {
  return WetBasis{x.value / (1.0 + x.value)};
}

constexpr double kSecondsPerHour = 3600.0;

}  // namespace drydepth
