#pragma once

#include <map>
#include <string>

#include "base/time.h"

namespace drydepth {

/// What the application takes from whoever calls it, so that it needs no clock, no
/// environment and no terminal of its own. A request holds words as people type them;
/// an error about one names its option.
struct Caller {
  std::string version{};
  Instant now{};
  LocalZone zone{};
  std::map<std::string, std::string> environment{};
};

}  // namespace drydepth
