#pragma once

#include <string>

#include "base/result.h"
#include "rules/rule_text.h"

namespace drydepth {

/// Reads a rule file by itself, as an overlay of the built-in ones, by the format it
/// states. Returns what it is in words: "material pa6 (polyamide 6)". Error as the
/// readers give it: file and line or JSON pointer, the nearest key, the range.
Result<std::string> check_rule_file(const RuleText& file);

}  // namespace drydepth
