#pragma once

#include "moisture/winding.h"
#include "rules/materials.h"
#include "spool/record.h"
#include "spool/timeline.h"

namespace drydepth {

/// The winding that a dry mass (above 0) makes once a respool has wound it over.
Winding wound_over(const Winding& before, double dry_kg, const Respool& respool);

/// The winding a spool has at the end of a timeline: as sold, or as last wound over.
Winding wound_at(const SpoolRecord& record, const Material& material,
                 const Timeline& timeline);

/// Error for the first respool whose winding cannot hold what is left: an outer
/// diameter inside its hub, or strand packed tighter than cylinders can be.
Result<Done> check_respools(const SpoolRecord& record, const Material& material);

}  // namespace drydepth
