#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "rules/rule_text.h"
#include "rules/sourced.h"

namespace drydepth {

/// How a body that holds water takes it up: X_eq = k a/(1 - q a), approached as one
/// exponential.
struct BodyWater {
  Sourced slope;      ///< k, kg/kg per unit activity
  Sourced curvature;  ///< q
  Sourced time_constant_h;
};

/// What a spool's body stands and takes up.
struct Body {
  std::string kind;  ///< as records write it: "pc", "cardboard"
  std::string name;  ///< for people
  Sourced heat_ceiling_c;
  std::optional<BodyWater> water;
  std::string text;  ///< the JSON that all of this was read from
};

/// All kinds, sorted; one in the overlay's bodies.json replaces ours. A kind
/// without a ceiling of its own (unknown plastic) takes the lowest of all.
Result<std::vector<Body>> load_bodies(const std::vector<RuleText>& overlay = {});

/// The body of that kind. Error at `where` naming the nearest.
Result<Body> find_body(const std::vector<Body>& bodies, std::string_view kind,
                       std::string_view where);

}  // namespace drydepth
