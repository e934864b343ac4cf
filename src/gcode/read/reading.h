#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gcode/machine/dialect.h"
#include "gcode/read/metadata.h"

namespace drydepth {

enum class EMode { kAbsolute, kRelative };

/// What the caller knows of a job besides its bytes.
struct ScanOptions {
  std::vector<Dialect> dialects;          ///< at least one; see rules/firmware.h
  std::optional<std::string> dialect_id;  ///< given by the user; must be in dialects
  /// How E is read until the job's first M82 or M83; given, nothing is guessed.
  std::optional<EMode> e_mode;
  std::optional<bool> e_is_volume;  ///< E in mm3 (true) or mm; else it is found out
  /// By tool; wins over the job's settings. Used only where E is a volume.
  std::map<int, double> filament_diameter_mm;
  /// The slicer's SLIC3R_* variables, as handed to a post-processing command.
  std::map<std::string, std::string> environment;
  /// The job's duration, in place of what it states.
  std::optional<double> total_s;
  /// Allowance of filament for what the firmware purges by itself, added to a tool each
  /// time it takes over from another.
  double purge_mm = 0;
  /// False: times come from the moves alone, whatever the job states.
  bool anchored = true;
};

/// How the E words of a job are to be understood. Slicers state some of it only at the
/// file's end, or not at all: it is assumed, checked at the end, and read again if
/// wrong.
struct Reading {
  const Dialect* dialect = nullptr;  ///< points into ScanOptions::dialects
  std::string dialect_source;
  bool dialect_guessed = false;
  EMode start_mode = EMode::kAbsolute;
  std::string mode_source;  ///< in words
  bool mode_guessed = false;
  bool volumetric = false;  ///< E is mm3, without M200
  std::string unit_source;  ///< in words
  bool unit_guessed = false;
  std::map<int, double> filament_diameter_mm;  ///< where volumetric
  bool diameter_guessed = false;
  KnownLimits limits;              ///< in force until the job sets its own
  std::vector<std::string> notes;  ///< one sentence for each guess
  bool operator==(const Reading&) const = default;
};

/// What a pass over the moves has shown that bears on how they are to be read.
struct Evidence {
  bool e_mode_stated = false;    ///< M82 or M83 was met
  std::uint64_t e_moves = 0;     ///< that travel in X or Y with a positive E word
  std::uint64_t falling = 0;     ///< of those, with an E word not above the one before
  std::uint32_t letters = 0;     ///< words of the moves, as Command::numbers
  bool rules_disagreed = false;  ///< E moved while the three E rules differ
  bool lower_case = false;       ///< commands in lower case were met
  bool bare_g92 = false;
  bool recover_extra = false;         ///< M208 pushes more than was retracted
  bool flow_by_tool_matters = false;  ///< M221 in a job of several tools
  bool states_times = false;          ///< in all, or as it runs
  std::map<int, double> peak_mm;      ///< by tool, as read
};

/// What the job's first bytes and the options already tell.
Reading first_reading(std::string_view head, const ScanOptions& options);

/// The reading that the whole job calls for, once it was read under `now`.
Reading better_reading(const Reading& now, const Metadata& metadata,
                       const Evidence& evidence, const ScanOptions& options);

/// True when both give the same lengths for a job with this evidence, and the same
/// times where those hang on the reading.
bool same_result(const Reading& a, const Reading& b, const Evidence& evidence);

}  // namespace drydepth
