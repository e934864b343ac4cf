#pragma once

// The spools at hand and how they stand, a row each.

#include <string>
#include <vector>

#include "app/request/progress.h"
#include "app/request/settings.h"
#include "inference/ensemble.h"
#include "spool/exposure.h"

namespace drydepth {

struct ShelfRow {
  std::string id, material;
  Percentiles mean{}, depth_kg{};
  double left_kg = 0;
  std::optional<Instant> valid_until{};
  Exposure exposure{};
};

/// A shelf as it stands at a moment.
struct ShelfSurvey {
  Settings settings{};
  std::vector<ShelfRow> rows{};
  std::vector<Error> errors{};  ///< of records that cannot be read
};

/// Estimates every spool of the shelf. `sort`: id, moisture, depth, left, exposure or
/// hot; what needs a look comes on top, but by depth the best spool for the next job
/// does. Error for another word, and for a shelf that cannot be listed.
Result<ShelfSurvey> survey_shelf(const std::string& sort, const SharedWords& words,
                                 const Caller& caller, const Progress& progress = {});

}  // namespace drydepth
