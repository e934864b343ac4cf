#pragma once

#include <cstddef>
#include <cstdint>

#include "base/tally.h"

namespace drydepth {

/// How sample_posterior() goes about it. Apart from it, so that who only passes them on
/// needs no linear algebra.
struct PosteriorOptions {
  std::size_t members = 64;
  std::size_t draws = 1600;  ///< from the proposals, all rounds together
  int rounds = 4;            ///< proposals, each learning from the draws before
  int steps = 16;            ///< Metropolis steps of each member
  std::uint64_t seed = 1;
  unsigned threads = 0;    ///< 0: all
  Tally* tally = nullptr;  ///< counts calls of the misfit
};

}  // namespace drydepth
