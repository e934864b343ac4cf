#pragma once

#include "base/result.h"
#include "record/record.h"
#include "rules/materials.h"

namespace drydepth {

/// Error for the first mass that this material makes impossible: a weighing above the
/// filament the spool can hold and all the water both can take up, more printed than
/// there was, a piece wetter than saturated or larger than what is left; and for two
/// weighings at one moment. The bounds are generous; they catch slips, not bad luck.
Result<Done> check_masses(const SpoolRecord& record, const Material& material);

/// Error where the record opens with moisture by layer and the winding has another
/// number of layers then.
Result<Done> check_layers(const SpoolRecord& record, const Material& material);

}  // namespace drydepth
