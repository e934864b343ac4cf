#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gcode/clock/clock.h"
#include "gcode/clock/planner.h"
#include "gcode/machine/dialect.h"
#include "gcode/machine/limits.h"
#include "gcode/machine/line.h"
#include "gcode/machine/modal.h"

namespace drydepth {

/// The time of a job while it is read. Its own clock is that of the feeds alone, which
/// is known at once; beside it the planner, which must look ahead, and what the job
/// itself states.
class Timing {
 public:
  Timing(const Dialect& dialect, KnownLimits start);

  /// Feeds alone, since the job's start.
  double raw_s() const { return raw_s_; }
  void take_move(const Move& move) {
    raw_s_ += move.time_s;
    planner_.add(motion_of(move), raw_s_);
  }
  /// A command other than a move: limits, waits, remaining times.
  void take_command(const Command& command);
  /// The same, spelled as a word.
  void take_named(const Command& command);
  /// A whole-line comment: elapsed times.
  void take_comment(std::string_view text);

  /// True when the job tells its time as it runs.
  bool states_times() const { return clock_.any(); }
  /// The limits used and where they come from.
  KnownLimits limits() const;
  /// Once, at the end; facts without the plan and the limits.
  TimeScale finish(TimeFacts facts);
  /// The same limits from a better source.
  void correct_source(const KnownLimits& start) { start_ = start; }

 private:
  static Motion motion_of(const Move& move);
  void note_limits(std::string_view command);

  LimitForm form_;
  KnownLimits start_;
  MotionLimits limits_;
  std::string limit_commands_;  // those met, with ", " between them
  Planner planner_;
  JobClock clock_;
  double raw_s_ = 0;
};

inline Motion Timing::motion_of(const Move& move) {
  Motion motion;
  motion.speed_mm_s = move.speed_mm_s;
  if (!(move.length_mm > 0)) {
    motion.kind = MoveKind::kRetract;
    motion.length_mm = std::abs(move.filament);
    motion.enter[3] = motion.leave[3] = static_cast<float>(move.filament);
    return motion;
  }
  const auto direction = [&move](const Point& p) {
    return Direction{static_cast<float>(p.x), static_cast<float>(p.y),
                     static_cast<float>(p.z), static_cast<float>(move.filament)};
  };
  motion.kind =
      move.filament > 0 && move.moves_xy ? MoveKind::kPrint : MoveKind::kTravel;
  motion.length_mm = move.length_mm;
  motion.radius_mm = move.radius_mm;
  motion.enter = direction(move.enter);
  motion.leave = direction(move.leave);
  return motion;
}

/// Duration of a G4: P in milliseconds, S in seconds.
double dwell_s(const Command& command);

/// The number behind a prefix, as in ";TIME_ELAPSED:12.5".
std::optional<double> number_behind(std::string_view text, std::string_view prefix);

}  // namespace drydepth
