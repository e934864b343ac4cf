#pragma once

#include <vector>

#include "base/result.h"
#include "gcode/machine/dialect.h"
#include "rules/rule_text.h"

namespace drydepth {

/// One firmware rule file. Errors are named by its name and a JSON pointer.
Result<Dialect> parse_firmware(const RuleText& file);

/// All dialects, sorted by id: the embedded ones, each replaced by the overlay file
/// that states the same id, and those only the overlay has. Error for the first thing
/// wrong in a file.
Result<std::vector<Dialect>> load_firmwares(const std::vector<RuleText>& overlay = {});

}  // namespace drydepth
