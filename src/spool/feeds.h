#pragma once

#include <optional>
#include <vector>

#include "spool/spool.h"

namespace drydepth {

/// One way to let the spool stand while it prints.
struct FeedAir {
  Feed feed = Feed::kOpen;
  AirSpec air{};
};

/// The air that feeds stand in where nothing else is said.
struct FeedPlaces {
  StatedAir room{}, box{};
  std::optional<double> dryer_k{};  ///< of the live dryer; absent: see feed_airs()
};

/// The lowest of what polymer and body stand, K.
double drying_ceiling_k(const Material& material, const Body& body);

/// What each feed means for a spool, in the order open, dry box, live dryer: room, box,
/// and a dryer that stays 10 C under the lowest limit of polymer and body unless told
/// otherwise.
std::vector<FeedAir> feed_airs(const FeedPlaces& places, const Material& material,
                               const Body& body);

}  // namespace drydepth
