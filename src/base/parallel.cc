#include "base/parallel.h"

#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

namespace drydepth {

void for_each_index(std::size_t count, unsigned threads,
                    const std::function<void(std::size_t)>& work) {
  const std::size_t wanted =
      threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
  std::atomic<std::size_t> next{0};
  const auto run = [&] {
    for (std::size_t k = next++; k < count; k = next++) work(k);
  };
  std::vector<std::jthread> helpers;
  for (std::size_t t = 1; t < std::min(wanted, count); ++t) helpers.emplace_back(run);
  run();
}

}  // namespace drydepth
