#pragma once

#include <cstdint>

namespace drydepth {

/// SplitMix64 (Steele, Lea, Flood 2014): the same numbers everywhere. The standard
/// library fixes its engines but not its distributions.
inline std::uint64_t next_random(std::uint64_t& state) {
  std::uint64_t z = (state += 0x9e3779b97f4a7c15ULL);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

/// Uniform in (0, 1), never either end.
inline double next_uniform(std::uint64_t& state) {
  return (static_cast<double>(next_random(state) >> 11) + 0.5) * 0x1.0p-53;
}

}  // namespace drydepth
