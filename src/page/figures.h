#pragma once

#include "page/chart.h"
#include "report/report.h"

namespace drydepth {

/// Moisture at the nozzle over the grams printed, from each feed, against the limits;
/// with the range of the first crossing and the places of the edits. Of a report with a
/// job.
Chart race_chart(const Report& report, const SpoolReport& spool);

/// Moisture by depth now, outermost wrap at the left, with what the job needs.
Chart depth_chart(const Report& report, const SpoolReport& spool);

/// What a scale should have shown along the spool's course, and what it did show.
/// Nothing where the report holds no course.
std::optional<Chart> course_chart(const Report& report, const SpoolReport& spool,
                                  const LocalZone& zone);

}  // namespace drydepth
