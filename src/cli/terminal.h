#pragma once

#include <map>
#include <string>

#include "base/result.h"

namespace drydepth {

/// What stands at the two ends that people read.
struct Terminals {
  bool out = false;   ///< standard output is a terminal
  bool talk = false;  ///< standard error is one
};

/// Whether to print in bold, by the word of --color: always, never, or auto: on a
/// terminal that is not TERM=dumb, unless NO_COLOR is set and not empty
/// (https://no-color.org). Error for another word.
Result<bool> bold_wanted(const std::string& word, const Terminals& terminals,
                         const std::map<std::string, std::string>& environment);

/// Whether a line on standard error may be overwritten: it is a terminal, and not
/// TERM=dumb.
bool live_talk(const Terminals& terminals,
               const std::map<std::string, std::string>& environment);

}  // namespace drydepth
