#pragma once

// Is this the job that was checked, and does the check still hold?

#include <string>
#include <vector>

#include "app/request/settings.h"
#include "guard/stamp.h"

namespace drydepth {

struct VerifyRequest {
  std::string job;                    ///< path
  std::vector<std::string> spools{};  ///< [T0=]SPOOL, where a record has moved to
  SharedWords shared{};
};

struct SpoolVerdict {
  int tool = 0;
  std::string id, verdict;
  Feed feed = Feed::kOpen;
  std::vector<std::string> changes{};
  bool printed = false;  ///< the record counts this very print already
};

struct Verified {
  Stamp stamp{};
  Instant at{};
  std::vector<std::string> job_changes{};
  bool ends_changed = false;
  std::vector<SpoolVerdict> spools{};
  std::string time_doubt{};

  bool holds() const {
    for (const SpoolVerdict& s : spools) {
      if (!s.changes.empty()) return false;
    }
    return job_changes.empty() && time_doubt.empty();
  }
};

/// Compares a guarded job with its stamp, and that with records and rules as they are
/// now; reads only. Error (exit 65) for a job without a stamp.
Result<Verified> verify_job(const VerifyRequest& request, const Caller& caller);

}  // namespace drydepth
