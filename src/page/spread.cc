#include "page/spread.h"

#include <algorithm>
#include <numeric>

namespace drydepth {
namespace {

// Neighbours that touch stand around the mean of what they want.
struct Group {
  std::size_t first, count;
  double start;
};

}  // namespace

std::vector<double> spread_apart(const std::vector<double>& places, double gap,
                                 double low, double high) {
  std::vector<std::size_t> order(places.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return places[a] < places[b]; });
  const auto count = static_cast<double>(places.size());
  const double room = places.size() > 1 ? (high - low) / (count - 1) : 0;
  const double step = places.size() > 1 ? std::min(gap, room) : 0;
  // A group that runs into the one before joins it.
  std::vector<Group> groups;
  const auto start_of = [&](std::size_t first, std::size_t many) {
    double sum = 0;
    for (std::size_t k = 0; k < many; ++k) {
      sum += places[order[first + k]] - step * static_cast<double>(k);
    }
    const double last = high - step * static_cast<double>(many - 1);
    return std::clamp(sum / static_cast<double>(many), low, std::max(low, last));
  };
  for (std::size_t k = 0; k < order.size(); ++k) {
    groups.push_back({k, 1, start_of(k, 1)});
    while (groups.size() > 1) {
      const Group& last = groups.back();
      Group& before = groups[groups.size() - 2];
      if (last.start >= before.start + step * static_cast<double>(before.count)) break;
      before.count += last.count;
      before.start = start_of(before.first, before.count);
      groups.pop_back();
    }
  }
  std::vector<double> out(places.size());
  for (const Group& group : groups) {
    for (std::size_t k = 0; k < group.count; ++k) {
      out[order[group.first + k]] = group.start + step * static_cast<double>(k);
    }
  }
  return out;
}

}  // namespace drydepth
