#pragma once

#include <vector>

namespace drydepth {

/// Moves places as little as needed, in order, so that neighbours are `gap` apart and
/// all lie within the ends; where they cannot, they stand evenly. Returned in the order
/// given.
std::vector<double> spread_apart(const std::vector<double>& places, double gap,
                                 double low, double high);

}  // namespace drydepth
