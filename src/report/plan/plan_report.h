#pragma once

#include <string>
#include <vector>

#include "guard/queue.h"
#include "guard/ways.h"
#include "report/report.h"

namespace drydepth {

/// Another spool of the shelf that the jobs could be run from.
struct OtherSpool {
  std::string id{};
  double left_kg = 0;
  bool told = true;               ///< see can_tell()
  std::vector<double> chances{};  ///< by feed, as in ChoiceFrame::feeds
};

/// What it takes on one tool's spool.
struct SpoolPlan {
  SpoolReport spool{};
  Feed in_use = Feed::kOpen;
  ChoiceFrame frame{};
  Choices choices{};
  std::vector<OtherSpool> others{};  ///< of the same material with enough left; by rank
};

/// What `plan` found, as data.
struct PlanReport {
  Report head{};  ///< version, time, members, deciding limit, unwatched, cautions
  double target = 0.1;
  std::vector<QueuedJob> queue{};
  std::vector<SpoolPlan> plans{};  ///< one a watched tool
};

/// Other spools in order: those whose moisture is known first, by the chance from the
/// feed in use, then by the best chance, then by name.
void rank_others(SpoolPlan& plan);

/// When a choice's job starts.
Instant start_of(const PlanReport& report, const Choice& choice);

/// Where a choice carries to; nothing where it carries to the end.
std::optional<QueuePlace> carries_to(const PlanReport& report, const SpoolPlan& plan,
                                     const Choice& choice);

/// The usual cautions, and those on hot air that a plan advises.
std::vector<std::string> plan_cautions(const PlanReport& report);

}  // namespace drydepth
