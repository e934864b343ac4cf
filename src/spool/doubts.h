#pragma once

#include <string>
#include <vector>

#include "record/record.h"
#include "rules/materials.h"

namespace drydepth {

/// What is odd about a weighing that is to be logged to a record, a sentence each: the
/// wrong spool, use that nobody logged, mass that rises in a dryer, a hot spool. Odd is
/// not impossible; that is check_masses' business. Of a piece: see finding_doubts; of a
/// storage, drying or print: span_doubts. Nothing for other events.
std::vector<std::string> doubts(const SpoolRecord& record, const Event& event,
                                const Material& material);

}  // namespace drydepth
