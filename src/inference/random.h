#pragma once

#include <cstdint>

namespace drydepth {

/// SplitMix64 (Steele, Lea, Flood 2014, OOPSLA, 453; its constants): the same numbers
/// everywhere. The standard library fixes its engines but not its distributions. Test:
/// ensemble, "the seed fixes the members" and "the unknowns are paired at random".
inline std::uint64_t next_random(std::uint64_t& state) {
  std::uint64_t z = (state += 0x9e3779b97f4a7c15ULL);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

/// Uniform in (0, 1), never either end: the largest of the 2^53 values would be rounded
/// to 1 (derived).
inline double next_uniform(std::uint64_t& state) {
  const double drawn =
      (static_cast<double>(next_random(state) >> 11) + 0.5) * 0x1.0p-53;
  return drawn < 1.0 ? drawn : 1.0 - 0x1.0p-53;
}

}  // namespace drydepth
