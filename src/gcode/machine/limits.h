#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <string>
#include <string_view>

namespace drydepth {

/// X, Y, Z and the filament E, in this order.
constexpr std::size_t kAxisCount = 4;
using Axes = std::array<double, kAxisCount>;

/// What bounds the speed at a corner between two moves.
enum class CornerRule {
  kJerk,       ///< each axis may change its speed at once by so much
  kDeviation,  ///< the path may leave the corner by so much
  kSquare      ///< a corner of 90 degrees is passed at so much
};

/// What a machine can do, as far as it bears on the time of a job. 0 is no limit.
struct MotionLimits {
  Axes speed_mm_s = {};
  Axes accel_mm_s2 = {};
  Axes jerk_mm_s = {};
  double print_accel_mm_s2 = 0;
  double travel_accel_mm_s2 = 0;
  double retract_accel_mm_s2 = 0;  ///< of moves of the filament alone
  double min_print_mm_s = 0;       ///< a slower feed is raised to this
  double min_travel_mm_s = 0;
  CornerRule corner = CornerRule::kJerk;
  double deviation_mm = 0;
  double square_corner_mm_s = 0;
  double extruder_corner_mm_s = 0;  ///< sudden change of E's speed, with kSquare
  /// Share of a move that should pass at even speed: short moves reach only what they
  /// would at (1 - this) of their acceleration.
  double cruise_ratio = 0;
  bool operator==(const MotionLimits&) const = default;
};

/// How a firmware takes its limits from a job.
enum class LimitForm {
  kPerSecond,  ///< M203 in mm/s
  kPerMinute,  ///< M203 in mm/min
  kNamed       ///< SET_VELOCITY_LIMIT and M204; M201, M203, M205 are unknown
};

struct Fact;
class Command;

/// Limits, and where they come from.
struct KnownLimits {
  MotionLimits limits;
  std::string source;   ///< in words
  bool stated = false;  ///< by the job or the slicer, and no mere default
  bool operator==(const KnownLimits&) const = default;
};

/// True for a slicer's setting that holds a limit, as "machine_max_jerk_x".
bool is_limit_setting(std::string_view key);

/// The defaults, and over them the slicer's settings, by key. Of lists the first
/// element counts: the normal mode, or the first tool.
KnownLimits limits_from_settings(const MotionLimits& defaults,
                                 const std::string& firmware_name,
                                 const std::map<std::string, Fact, std::less<>>& set);

/// Takes M201, M203, M204, M205 or M566; true when it changed a limit. Values that are
/// not positive change nothing, except a ratio or a corner that may be 0.
bool take_limit_command(const Command& command, LimitForm form, MotionLimits& limits);

/// Takes the words behind SET_VELOCITY_LIMIT.
bool take_velocity_limit(std::string_view words, MotionLimits& limits);

}  // namespace drydepth
