#pragma once

// The tables of the job sheet. Their cells point to the values that they show in the
// JSON of the same run.

#include <string>

#include "report/report.h"

namespace drydepth {

/// The feeds of one tool: chances, and where the deciding limit is first passed.
std::string feed_table(const Report& report, const SpoolReport& spool,
                       const LocalZone& zone);

/// A row a tool, of the feed in use: what the sheet of several spools shows first.
std::string tool_table(const Report& report, const LocalZone& zone);

/// What is known of one spool, in rows; and of several, a row a spool.
std::string spool_facts(const Report& report, const SpoolReport& spool,
                        const LocalZone& zone);
std::string spool_table(const Report& report, const LocalZone& zone);

/// The job. What its tools take is in the rows of tool_table where there are several.
std::string job_facts(const Report& report);

/// What was written into the job, or is planned, and when the job comes to it.
std::string edit_table(const Report& report, const LocalZone& zone);

}  // namespace drydepth
