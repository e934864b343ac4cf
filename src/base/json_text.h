#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

#include "base/result.h"

namespace drydepth {

/// Declared here; who looks into a value includes base/json_value.h. Keeps the order of
/// keys, so that what a person wrote is found again where it stood.
using Json = nlohmann::ordered_json;

/// Parses a whole text. Error "FILE:LINE:COLUMN: ..." for a syntax error, and for a key
/// that stands twice in one object (one of them would be lost without a word) or
/// nesting deeper than any file of ours.
Result<Json> parse_json(std::string_view text, std::string_view file);

/// JSON text for people: what fits on a line of 88 columns stands on one, everything
/// else is broken by member and indented by one. Ends with a line end.
std::string pretty_json(const Json& value);

/// A number as a person would write it: a whole one without ".0".
Json number_json(double value);

}  // namespace drydepth
