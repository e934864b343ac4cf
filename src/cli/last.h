#pragma once

#include <string>

#include "base/result.h"
#include "cli/world.h"

namespace drydepth {

/// What guard had to say, in both its forms. A slicer shows nothing of it on success.
struct Said {
  std::string text;
  std::string json;
};

/// Keeps it for `last`. Error when the state folder cannot be written.
Result<Done> keep_said(const Said& said, const World& world);

/// What was kept last. Error (exit 66) when there is nothing yet.
Result<Said> read_said(const World& world);

}  // namespace drydepth
