#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace drydepth {

class JsonReader;
struct NumberRule;

/// A number of a rule file with where it comes from.
struct Sourced {
  double value = 0;
  std::optional<double> sd;      ///< standard deviation in the unit of the value
  std::optional<double> log_sd;  ///< standard deviation of the natural logarithm
  std::string source;
  std::string status;  ///< read, derived, from memory, own choice, or common practice,
                       ///< no source
};

/// Reads a member {value, sd or log_sd, source, status}; unknown keys are errors, and a
/// missing member is one.
Sourced read_sourced(JsonReader& reader, std::string_view key, const NumberRule& rule);
std::optional<Sourced> optional_sourced(JsonReader& reader, std::string_view key,
                                        const NumberRule& rule);

}  // namespace drydepth
