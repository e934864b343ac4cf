#pragma once

#include <functional>
#include <ostream>
#include <string>

#include "app/request/caller.h"

namespace drydepth {

/// Everything a command takes from the machine it runs on, so that a test can bring its
/// own. Standard output is data, standard error is talk.
struct World {
  Caller caller;
  std::ostream& out;
  std::ostream& talk;
  /// Puts a question that is answered by yes or no. Empty where nobody sits at a
  /// terminal: then nothing is ever asked.
  std::function<bool(const std::string&)> ask{};
  bool bold = false;       ///< standard output takes bold headings
  bool live_talk = false;  ///< a line on standard error may be overwritten
};

/// What a command does once its words are parsed; the exit code.
using CommandRun = std::function<int()>;

}  // namespace drydepth
