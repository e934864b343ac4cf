#include "gcode/machine/pattern.h"

#include <re2/re2.h>

namespace drydepth {

Result<Pattern> Pattern::compile(std::string_view expression) {
  re2::RE2::Options options;
  options.set_log_errors(false);
  auto compiled = std::make_shared<re2::RE2>(expression, options);
  if (!compiled->ok()) {
    return Error{"", "no regular expression: " + compiled->error(),
                 "look at \"" + compiled->error_arg() + "\" in it"};
  }
  Pattern out;
  out.compiled_ = std::move(compiled);
  return out;
}

bool Pattern::found_in(std::string_view text) const {
  return compiled_ != nullptr && re2::RE2::PartialMatch(text, *compiled_);
}

}  // namespace drydepth
