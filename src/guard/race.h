#pragma once

#include <array>
#include <optional>
#include <vector>

#include "gcode/trace.h"
#include "moisture/consumption.h"
#include "moisture/ensemble.h"
#include "rules/materials.h"
#include "spool/replay.h"

namespace drydepth {

/// What a hand on the printer's knobs makes of a job's speed and flow, as factors.
struct Hand {
  double speed = 1;
  double flow = 1;
};

/// One way to let the spool stand while it prints, and to run the job.
struct FeedAir {
  Feed feed = Feed::kOpen;
  AirSpec air{};
  Hand hand{};
};

/// The two limits of a material, kg/kg.
struct Limits {
  double cosmetic = 0;
  double strength = 0;
};

/// A wound layer as it stands, over the ensemble. Counted from outside.
struct LayerEstimate {
  double mass_kg = 0;  ///< dry, what is left of it
  Percentiles content{};
  Percentiles surface{};  ///< of the strand
  Percentiles core{};     ///< at the strand's axis
  Percentiles temperature_k{};
};

/// How far the spool is still below its limits after standing in room air, p50.
struct LaterDepth {
  double after_s = 0;
  double cosmetic_kg = 0, strength_kg = 0;
};

/// A spool at one moment, over the ensemble.
struct SpoolEstimate {
  double remaining_kg = 0;
  Percentiles mean{};
  std::vector<LayerEstimate> layers{};  ///< outermost first
  Percentiles cosmetic_depth_kg{};      ///< dry depth; p10 the shallow one
  Percentiles strength_depth_kg{};
  std::vector<LaterDepth> later{};  ///< rising in time, the first one is now
};

/// A place on the way, with p10 the early one. Nothing where that share never crosses.
using CrossingKg = std::array<std::optional<double>, 3>;

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
  LimitRace cosmetic{}, strength{};
  std::vector<NozzleEstimate> nozzle{};
  Percentiles mean_after{};          ///< of what is left on the spool
  std::optional<double> ran_out_kg;  ///< the spool held only that much
};

struct SpoolRace {
  SpoolEstimate now{};
  std::vector<FeedRace> feeds{};
};

/// Everything a race needs to know of one tool's spool.
struct Contest {
  SpoolRecord record{};
  Material material{};
  Timeline timeline{};  ///< ends at the job's start
  SpoolPriors priors{};
  Limits limits{};
  AirSpec room{};  ///< what the spool stands in when nothing else is said
};

/// False where neither the record nor its readings say more of the moisture than the
/// guess at its opening did: no moisture is stated, and the 10-90 % range of the mean
/// is still more than half of that guess's.
bool can_tell(const Contest& contest, const SpoolEstimate& estimate);

/// When the dry depth stops being what it was: the time until its p50 has fallen by a
/// fifth, or under what a job needs (if it reached that far at all), whichever is
/// first. Outer wraps wet again from outside, and water from the hub comes outwards, so
/// a depth without a time says little. Nothing where there is no depth, or where it
/// holds for as long as was looked at (kLookAheadS).
std::optional<double> valid_for_s(const SpoolEstimate& estimate,
                                  double LaterDepth::*depth, double needed_kg);
constexpr double kLookAheadS = 14 * 24 * 3600.0;

Limits limits_of(const Material& material);

/// What a tool takes over time, in dry mass of that spool's strand.
std::vector<DrawPoint> draw_curve(const ToolTrace& tool, double duration_s,
                                  const SpoolRecord& record, const Material& material);

/// The same job under a hand: all of its time over the speed, heating too, and all that
/// it takes times the flow.
std::vector<DrawPoint> by_hand(std::vector<DrawPoint> curve, const Hand& hand);

/// Replays the spool's life for every member, then runs the job from each feed. An
/// empty curve only estimates. Same result whatever the number of threads (0: all).
SpoolRace run_race(const Contest& contest, const std::vector<DrawPoint>& curve,
                   const std::vector<FeedAir>& feeds,
                   const std::vector<Member>& members, unsigned threads);

}  // namespace drydepth
