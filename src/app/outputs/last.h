#pragma once

#include <string>

#include "app/request/caller.h"
#include "base/result.h"

namespace drydepth {

/// What guard had to say, in both its forms. A slicer shows nothing of it on success.
struct Said {
  std::string text;
  std::string json;
};

/// Keeps it for `last`. Error when the state folder cannot be written.
Result<Done> keep_said(const Said& said, const Caller& caller);

/// What was kept last. Error (exit 66) when there is nothing yet.
Result<Said> read_said(const Caller& caller);

}  // namespace drydepth
