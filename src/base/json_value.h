#pragma once

// The one place where the JSON package's own header comes in: it is large, and most
// files only pass values on.

#include <nlohmann/json.hpp>

#include "base/json_text.h"
