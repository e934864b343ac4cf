#pragma once

// What it takes to get a job through: the ways that people have, cheapest first.
//
// Each is a way of trial.h, and what is searched for (hours of drying, a temperature, a
// latest start) is found by bisection over the real simulation with the whole ensemble.
// "Suffices" means that the chance to pass the deciding limit lies below a target.

#include <array>
#include <optional>
#include <vector>

#include "guard/trial.h"

namespace drydepth {

/// In order of effort, which is also the order in which they are shown: nothing to do
/// but to choose where the spool stands; a hotter or cooler dryer; filament thrown
/// away; time.
enum class ChoiceKind { kNow, kLeastDryer, kDiscard, kHeadStart, kDryFirst };

/// Why a choice does not suffice, as far as one reason stands out.
enum class Obstacle {
  kNone,
  kOuterWet,     ///< mostly the first gram is above the limit already
  kHeaterFloor,  ///< in that dryer the room's water keeps the polymer above it, for
                 ///< ever
  kFeedAir,      ///< the air of the feed leads the polymer above it
  kInnerWet      ///< the wraps that the job comes to are above it by then
};

/// What a search for hours goes through: half hours up to kForecastS, as long as
/// anybody should leave a spool in hot air; and quarters of an hour of waiting.
constexpr double kDryStepS = 1800;
constexpr double kWaitStepS = 900;
constexpr double kLongestWaitS = 7 * 24 * 3600.0;

/// Earliest, likely and latest (p10, p50, p90): nothing where that share never does.
using Spread = std::array<std::optional<double>, 3>;

/// One way, as far as it was found to go.
struct Choice {
  ChoiceKind kind = ChoiceKind::kNow;
  Way way{};
  bool suffices = false;
  double chance = 0;         ///< of this very way
  CrossingKg crossing_kg{};  ///< p10, p50, p90
  double carries_kg = 0;     ///< until there the chance stays below the target
  double lead_s = 0;         ///< from now to the job's start
  Spread hours{};            ///< of drying, over the members
  Obstacle obstacle = Obstacle::kNone;
  Percentiles in_balance{};  ///< content that the obstacle's air leads to
  /// What would change a heater's floor: the least temperature up to the ceiling, or
  /// room air of that humidity at the same temperature, that would get under the limit.
  std::optional<double> remedy_k{}, remedy_activity{};
  /// Of a way that suffices now: how long the spool may wait in room air before it, s.
  std::optional<double> holds_s{};
  bool holds_on = false;  ///< as long as was looked at (kLongestWaitS)
  Spread holds_range_s{};
};

/// What makes the ways of one spool.
struct ChoiceFrame {
  std::vector<FeedAir> feeds{};  ///< open, dry box, live dryer
  HeaterAir dryer{};             ///< for drying ahead of the job
  double ceiling_k = 0;          ///< the lowest of polymer, body and data sheet
  double target = 0.1;           ///< chance that suffices when it stays below
};

struct Choices {
  double left_kg = 0, needed_kg = 0;
  bool enough = true;  ///< filament; false: nothing below was searched for
  std::vector<Choice> list{};
};

/// The choices of a spool for a job: all that suffice or might, by the hours that they
/// take and then by effort; those that cannot suffice last.
Choices find_choices(const Lineup& lineup, const ChoiceFrame& frame);

/// The first one that suffices; nothing where none does.
const Choice* first_sufficient(const Choices& choices);

}  // namespace drydepth
