#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "gcode/read/reading.h"

namespace drydepth {

/// The options that say how a job is to be read, as typed; each in place of a guess
/// that guard --explain shows.
struct ReadingWords {
  std::string e_mode, e_is, duration, purge;
  std::vector<std::string> diameters;  ///< [T0=]1.75mm
  std::optional<int> plate;
};

/// Puts them over what the options already hold. Errors (exit 64) name the option.
Result<Done> understand_reading(const ReadingWords& words, ScanOptions& options);

}  // namespace drydepth
