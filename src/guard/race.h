#pragma once

#include <array>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "base/tally.h"
#include "gcode/read/trace.h"
#include "guard/start.h"
#include "spool/feeds.h"

namespace drydepth {

/// What a hand on the printer's knobs makes of a job's speed and flow, as factors.
struct Hand {
  double speed = 1;
  double flow = 1;
};

/// A place on the way, with p10 the early one. Nothing where that share never crosses.
using CrossingKg = std::array<std::optional<double>, 3>;

/// Where a member never crosses, kg.
constexpr double kNeverKg = std::numeric_limits<double>::infinity();

/// Share of the members that cross, and where they do, from one crossing each.
double chance_of(const std::vector<double>& crossings_kg);
CrossingKg places_of(const std::vector<double>& crossings_kg);

/// How one limit fares over a job.
struct LimitRace {
  double share_above = 0;    ///< of the members, anywhere in the job
  CrossingKg crossing_kg{};  ///< p10, p50, p90
  Percentiles above_kg{};    ///< printed above the limit
};

struct NozzleEstimate {
  double mass_kg = 0;
  double time_s = 0;
  Percentiles content{};
};

/// One feed over the whole job.
struct FeedRace {
  FeedAir feed{};
  ByLimit<LimitRace> limits{};
  std::vector<NozzleEstimate> nozzle{};
  Percentiles mean_after{};          ///< of what is left on the spool
  std::optional<double> ran_out_kg;  ///< the spool held only that much
};

/// Where the job crosses one limit with a hand on the knobs.
struct HandRace {
  Hand hand{};
  double share_above = 0;  ///< of the members, anywhere in the job
  CrossingKg crossing_kg{};
};

struct SpoolRace {
  SpoolEstimate now{};
  std::vector<FeedRace> feeds{};
};

/// What a tool takes over time, in dry mass of that spool's strand.
std::vector<DrawPoint> draw_curve(const ToolTrace& tool, double duration_s,
                                  const SpoolRecord& record, const Material& material);

/// The same job under a hand: all of its time over the speed, heating too, and all that
/// it takes times the flow.
std::vector<DrawPoint> by_hand(std::vector<DrawPoint> curve, const Hand& hand);

/// Runs the job from each feed, for every member from where it stands. An empty curve
/// only estimates. Same result whatever the number of threads (0: all).
SpoolRace run_race(const Spool& spool, const std::vector<MemberStart>& starts,
                   const std::vector<DrawPoint>& curve,
                   const std::vector<FeedAir>& feeds, unsigned threads,
                   Tally* tally = nullptr);

/// The same, with the spool's life replayed here.
SpoolRace run_race(const Spool& spool, const std::vector<DrawPoint>& curve,
                   const std::vector<FeedAir>& feeds,
                   const std::vector<Member>& members, unsigned threads);

/// What one member sees of a feed's air.
Surroundings around_spool(const Spool& spool, const FeedAir& feed,
                          const Member& member);

/// Grams from the job's start at which a spool passes the limit (kg/kg), kg; kNeverKg
/// where it never does. Runs no further than that.
double crossing_kg(PackSolver& solver, PackState state, const Surroundings& around,
                   const std::vector<DrawPoint>& curve, double limit);

/// Where the job crosses a limit (kg/kg) from one feed under each hand; each run ends
/// there.
std::vector<HandRace> race_hands(const Spool& spool,
                                 const std::vector<MemberStart>& starts,
                                 const std::vector<DrawPoint>& curve,
                                 const FeedAir& feed, std::span<const Hand> hands,
                                 double limit, unsigned threads);

}  // namespace drydepth
