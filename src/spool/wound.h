#pragma once

#include "moisture/winding.h"
#include "record/record.h"
#include "rules/materials.h"
#include "spool/timeline.h"

namespace drydepth {

/// The winding as sold.
Winding spool_winding(const SpoolRecord& record, const Material& material);

/// The winding that a dry mass (above 0) makes once a respool has wound it over.
Winding wound_over(const Winding& before, double dry_kg, const Respool& respool);

/// The winding a spool has at the end of its timeline: as sold, or as last wound over.
Winding wound_at(const SpoolRecord& record, const Material& material,
                 const Timeline& timeline);

/// Error for the first respool whose winding cannot hold what is left: an outer
/// diameter inside its hub, or strand packed tighter than cylinders can be.
Result<Done> check_respools(const SpoolRecord& record, const Material& material);

}  // namespace drydepth
