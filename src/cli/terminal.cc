#include "cli/terminal.h"

#include "base/exit_code.h"

namespace drydepth {
namespace {

using Environment = std::map<std::string, std::string>;

std::string value_of(const Environment& environment, const char* name) {
  const auto found = environment.find(name);
  return found == environment.end() ? "" : found->second;
}

bool is_dumb(const Environment& environment) {
  return value_of(environment, "TERM") == "dumb";
}

}  // namespace

Result<bool> bold_wanted(const std::string& word, const Terminals& terminals,
                         const Environment& environment) {
  if (word == "always") return true;
  if (word == "never") return false;
  if (word == "auto") {
    return terminals.out && !is_dumb(environment) &&
           value_of(environment, "NO_COLOR").empty();
  }
  return Error{"--color", "\"" + word + "\" is no choice",
               "write auto, always or never", kExitUsage};
}

bool live_talk(const Terminals& terminals, const Environment& environment) {
  return terminals.talk && !is_dumb(environment);
}

}  // namespace drydepth
