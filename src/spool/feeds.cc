#include "spool/feeds.h"

#include <algorithm>

#include "base/units.h"

namespace drydepth {
namespace {

// How far a live dryer stays under the lowest ceiling: a set temperature is not the
// hottest spot (common practice, no source).
constexpr double kDryerMarginK = 10;

}  // namespace

double drying_ceiling_k(const Material& material, const Body& body) {
  const double lowest_c =
      std::min(body.heat_ceiling_c.value, material.drying_max_c.value);
  return to_kelvin(Celsius{lowest_c}).value;
}

std::vector<FeedAir> feed_airs(const FeedPlaces& places, const Material& material,
                               const Body& body) {
  const HeaterAir dryer{.temperature_k = places.dryer_k.value_or(
                            drying_ceiling_k(material, body) - kDryerMarginK),
                        .room = places.room,
                        .exchange_m3_s = {},
                        .chamber_m3 = {}};
  return {{Feed::kOpen, places.room},
          {Feed::kDryBox, places.box},
          {Feed::kLiveDryer, dryer}};
}

}  // namespace drydepth
