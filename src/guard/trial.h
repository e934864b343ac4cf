#pragma once

// One way to go about a job, tried by every member of the ensemble.
//
// The spool's life up to the job's start is the same for every way, so it is replayed
// once a member; what a way does before the job (stand, dry, take wraps off) and the
// job itself are then run from there. The same members meet every way: two ways differ
// by what they do, never by luck.

#include <functional>
#include <optional>
#include <vector>

#include "guard/race.h"

namespace drydepth {

/// A stretch of time before the job.
struct Stay {
  AirSpec air{};
  bool fan = false;  ///< the air moves, as in a dryer
  double seconds = 0;
};

/// One way to go about a job: first the stays, then the discard, then the job.
struct Way {
  std::vector<Stay> before{};
  double discard_kg = 0;  ///< dry mass taken off from outside
  FeedAir feed{};
};

/// The members at the moment from which the ways differ.
struct Lineup {
  Spool spool{};
  std::vector<DrawPoint> job{};  ///< what all of it takes, over time
  double limit = 0;              ///< the deciding one, kg/kg
  std::vector<MemberStart> starts{};
  unsigned threads = 0;
};

/// Grams from the job's start at which one member passes the limit, kg; kNeverKg where
/// it never does.
double crossing_kg(const Lineup& lineup, std::size_t member, const Way& way);

/// The same of every member. Does not depend on the number of threads.
std::vector<double> crossings_kg(const Lineup& lineup, const Way& way);

/// How many of `count` members may cross while their share stays below the target (at
/// most 1): never all of them.
std::size_t allowed(std::size_t count, double target);

/// Grams up to which the share that has crossed stays below the target, kg; kNeverKg
/// where it does so to the end.
double carries_kg(std::vector<double> crossings_kg, double target);

/// A family of ways along one dial of equal steps, 0 to `last`.
struct Dial {
  std::function<Way(int)> way;
  int last = 0;
};

/// Where on a dial the members turn, over the ensemble.
struct Turn {
  /// The step that suffices: chance below the target. Nothing up to the last.
  std::optional<int> step{};
  /// Steps at which 10, 50 and 90 % of the members carry; nothing where that share does
  /// not up to the last. Of `last_that_carries` those until which 90, 50, 10 % do.
  std::array<std::optional<double>, 3> range{};
  std::vector<double> crossings_kg{};  ///< at that step; at the last one without it
};

/// The first step at which the chance is below the target, by bisection of each member:
/// turned up, a member carries from its own step on. Ways that a hot start makes worse
/// before they get better are caught by running the step that was found with all
/// members, and turning on while it does not suffice.
Turn first_that_carries(const Lineup& lineup, const Dial& dial, double target);

/// The last step up to which it is, where turning up harms; nothing where step 0 does
/// not carry. `range` has no value where a share carries at the last step.
Turn last_that_carries(const Lineup& lineup, const Dial& dial, double target);

}  // namespace drydepth
