#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "base/result.h"

namespace re2 {
class RE2;
}

namespace drydepth {

/// A regular expression of a rule file, compiled once. RE2 stays behind it: linear in
/// the text, whatever the expression.
class Pattern {
 public:
  /// Error without a place that names the piece that is wrong.
  static Result<Pattern> compile(std::string_view expression);

  /// Nothing is found by one that was never compiled.
  bool found_in(std::string_view text) const;

 private:
  std::shared_ptr<const re2::RE2> compiled_;
};

}  // namespace drydepth
