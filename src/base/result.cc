#include "base/result.h"

#include "base/shown.h"

namespace drydepth {

std::string Error::text() const {
  std::string out = where.empty() ? what : where + ": " + what;
  if (!hint.empty()) out += "; " + hint;
  return shown(out);
}

}  // namespace drydepth
