#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace drydepth {

/// The two moisture limits of a material: above the first the print looks bad, above
/// the second it is weaker. One of them decides.
enum class Limit { kCosmetic, kStrength };
constexpr std::array<Limit, 2> kLimits = {Limit::kCosmetic, Limit::kStrength};

/// "cosmetic", "strength".
constexpr std::string_view limit_name(Limit limit) {
  return limit == Limit::kCosmetic ? "cosmetic" : "strength";
}
/// The limit of that name; nothing for another word.
constexpr std::optional<Limit> read_limit(std::string_view name) {
  for (const Limit limit : kLimits) {
    if (name == limit_name(limit)) return limit;
  }
  return std::nullopt;
}
constexpr Limit other_limit(Limit limit) {
  return limit == Limit::kCosmetic ? Limit::kStrength : Limit::kCosmetic;
}

/// Something that there is once for each limit.
template <class T>
struct ByLimit {
  T cosmetic{};
  T strength{};

  constexpr T& operator[](Limit limit) {
    return limit == Limit::kCosmetic ? cosmetic : strength;
  }
  constexpr const T& operator[](Limit limit) const {
    return limit == Limit::kCosmetic ? cosmetic : strength;
  }
  bool operator==(const ByLimit&) const = default;
};

}  // namespace drydepth
