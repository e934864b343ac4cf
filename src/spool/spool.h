#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "record/record.h"
#include "rules/bodies.h"
#include "rules/limit.h"
#include "rules/materials.h"
#include "spool/priors.h"
#include "spool/timeline.h"

namespace drydepth {

/// A spool laid out until a moment: all that a replay, a fit, a race or a report needs
/// to know of it.
struct Spool {
  std::filesystem::path path{};  ///< of its record; empty where it lies nowhere
  SpoolRecord record{};
  Material material{};  ///< as this lot's own data sheet has it
  Body body{};          ///< that the filament is on at the end
  SpoolPriors priors{};
  Timeline timeline{};               ///< ends at the moment asked about
  ByLimit<double> limits{};          ///< kg/kg
  AirSpec room{};                    ///< what it stands in when nothing else is said
  std::vector<std::string> notes{};  ///< what was assumed, one sentence each
  std::string rules_text{};  ///< that material, bodies and evidence were read from
};

}  // namespace drydepth
