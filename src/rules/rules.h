#pragma once

#include <vector>

#include "gcode/machine/dialect.h"
#include "rules/bodies.h"
#include "rules/evidence_rules.h"
#include "rules/materials.h"
#include "rules/policy.h"

namespace drydepth {

/// All rule files as loaded, the embedded ones under an overlay.
struct Rules {
  std::vector<Material> materials;
  std::vector<Body> bodies;
  std::vector<Dialect> dialects;
  EvidenceRules evidence;
  Policy policy;
};
/// `folder` of the overlay; empty: none. Error for the first thing wrong in a file.
Result<Rules> load_rules(const std::filesystem::path& folder = {});

}  // namespace drydepth
