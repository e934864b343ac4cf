#pragma once

#include "record/record.h"
#include "rules/materials.h"

namespace drydepth {

/// The material as this spool's own data sheet has it: limits that the record states
/// take the place of the rule file's.
Material of_lot(const SpoolRecord& record, Material material);

}  // namespace drydepth
