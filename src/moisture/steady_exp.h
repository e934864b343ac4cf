#pragma once

#include <bit>
#include <cstdint>

namespace drydepth {

/// exp(x) within 4e-16 of the value for -700 <= x <= 700; beyond, that of the end. NaN
/// stays NaN. Without a call, so that a loop of it can run in vector registers, and
/// with the same bits on every machine, which a library's exp does not promise.
///   x = n ln 2 + r, |r| <= ln 2/2; exp(r) by its Taylor series to r^13.
/// Source: reduction of the argument in two parts after Cody and Waite 1980, Software
/// Manual for the Elementary Functions (from memory); the series' rest,
/// (ln 2/2)^14/14!, is below 5e-18 (derived).
/// Test: steady_exp, "steady exp within its bound of the value", "steady exp at its
/// ends".
inline double steady_exp(double x) {
  constexpr double kLog2E = 1.4426950408889634;
  // ln 2 in two parts, the first with its last 21 bits zero: n times it is exact (Cody
  // and Waite).
  constexpr double kLn2High = 0x1.62e42fee00000p-1, kLn2Low = 0x1.a39ef35793c76p-33;
  constexpr double kRound =
      0x1.8p52;  // adding it leaves the nearest integer in the bits
  const double above = x < -700.0 ? -700.0 : x;
  const double bounded = above > 700.0 ? 700.0 : above;
  const double shifted = bounded * kLog2E + kRound;
  const double n = shifted - kRound;
  const double r = (bounded - n * kLn2High) - n * kLn2Low;
  double sum = 1.0 / 6227020800.0;
  sum = sum * r + 1.0 / 479001600.0;
  sum = sum * r + 1.0 / 39916800.0;
  sum = sum * r + 1.0 / 3628800.0;
  sum = sum * r + 1.0 / 362880.0;
  sum = sum * r + 1.0 / 40320.0;
  sum = sum * r + 1.0 / 5040.0;
  sum = sum * r + 1.0 / 720.0;
  sum = sum * r + 1.0 / 120.0;
  sum = sum * r + 1.0 / 24.0;
  sum = sum * r + 1.0 / 6.0;
  sum = sum * r + 0.5;
  sum = sum * r + 1.0;
  sum = sum * r + 1.0;
  const std::uint64_t exponent = (std::bit_cast<std::uint64_t>(shifted) + 1023) << 52;
  return sum * std::bit_cast<double>(exponent);
}

}  // namespace drydepth
