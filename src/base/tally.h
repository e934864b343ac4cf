#pragma once

#include <atomic>
#include <cstdint>

namespace drydepth {

/// How far a piece of work is: owned by who wants to know, written by who works (from
/// any thread), read at any time. Nothing hangs on it.
struct Tally {
  std::atomic<std::uint64_t> done{0};
  std::atomic<std::uint64_t> total{0};  ///< 0: not known
};

/// Steps that are to come, where somebody counts.
inline void expect(Tally* tally, std::uint64_t steps) {
  if (tally != nullptr) tally->total.fetch_add(steps, std::memory_order_relaxed);
}

/// One step more, where somebody counts.
inline void count(Tally* tally, std::uint64_t steps = 1) {
  if (tally != nullptr) tally->done.fetch_add(steps, std::memory_order_relaxed);
}

}  // namespace drydepth
