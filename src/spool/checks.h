#pragma once

#include "base/result.h"
#include "rules/materials.h"
#include "spool/record.h"

namespace drydepth {

/// Error for the first event that lies before the opening, stands behind a later one,
/// overlaps another or weighs less than the empty spool. Done by read_record.
Result<Done> check_order(const SpoolRecord& record);

/// Error for the first mass that this material makes impossible: a weighing above the
/// filament the spool can hold and all the water both can take up, more printed than
/// there was, a piece wetter than saturated or larger than what is left; and for two
/// weighings at one moment. The bounds are generous; they catch slips, not bad luck.
Result<Done> check_masses(const SpoolRecord& record, const Material& material);

/// Error where the record opens with moisture by layer and the winding has another
/// number of layers then.
Result<Done> check_layers(const SpoolRecord& record, const Material& material);

}  // namespace drydepth
