#pragma once

#include <map>
#include <string>

#include "app/job/job_spools.h"
#include "gcode/container/container.h"
#include "guard/stamp.h"
#include "report/report.h"

namespace drydepth {

/// The stamp of a guarded job: what was read for the report, and the edits that it will
/// hold.
Stamp make_stamp(const Report& report, const Policy& policy, const JobDigest& job,
                 const std::vector<Edit>& edits);

/// A guarded job as it stands now.
struct StampedJob {
  OpenJob job{};
  std::vector<Block> blocks{};
  Stamp stamp{};
};
/// What the job is now; where its line ends alone were changed, as it was then, and
/// `ends_changed` says so.
struct JobNow {
  JobDigest digest{};
  bool ends_changed = false;
};
Result<JobNow> digest_stamped(const StampedJob& job);

/// Error (exit 65) for a job without a stamp, or with a block that others changed.
Result<StampedJob> open_stamped(const std::string& path);

/// The spools of the shelf that a stamp names, or the records that `map` names for
/// them, as they are now, by tool: a job travels, so no path stands in it. Nothing is
/// laid out or fitted: they have no timeline. Error for one that cannot be read.
Result<std::map<int, Spool>> load_stamped(const Stamp& stamp, const SpoolMap& map,
                                          const std::filesystem::path& shelf,
                                          const Rules& rules);

/// What a stamp keeps of such a spool.
SpoolDigest digest_stamped(const Spool& spool, const Policy& policy);

}  // namespace drydepth
