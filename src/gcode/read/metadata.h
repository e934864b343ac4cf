#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gcode/machine/dialect.h"

namespace drydepth {

/// A number as printed by a slicer, and half a unit of its last printed digit.
struct Stated {
  double value = 0;
  double rounding = 0;
};

/// What a slicer states of one tool.
struct StatedTool {
  std::optional<Stated> length_mm;
  std::optional<Stated> volume_mm3;
  std::optional<double> mass_g;
  std::optional<double> diameter_mm;
  std::string filament_type;
  std::string source;  ///< of length or volume, in words
};

/// What a job's comments, or the slicer's environment, say of it. Nothing here is
/// believed without a check against the moves.
struct Metadata {
  std::string slicer;
  Facts facts;  ///< gcode_flavor, flavor, firmware_type, printer_model, slicer, ...
  std::map<int, StatedTool> tools;
  std::optional<double> total_s;
  std::string total_source;  ///< in words
  std::optional<bool> relative_e;
  std::optional<bool> volumetric_e;
  std::string volumetric_source;
  std::string pause;
  Facts limits;                    ///< machine_max_* settings, by key
  bool states_net = false;         ///< this slicer's lengths are final, not peak
  std::vector<std::string> notes;  ///< placeholders met
};

/// Takes what a comment says, if anything; `comment` is the text behind the semicolon.
void read_comment(Metadata& metadata, std::string_view comment, std::uint64_t line);

/// Takes a setting by its name, as in comments "; key = value".
void read_setting(Metadata& metadata, std::string_view key, std::string_view value,
                  const std::string& where);

/// Takes the SLIC3R_* variables.
void read_environment(Metadata& metadata,
                      const std::map<std::string, std::string>& environment);

/// Seconds of "1d 2h 3m 4s", "0 hours 3 minutes", "826"; nullopt for anything else.
std::optional<double> parse_duration_s(std::string_view text);

}  // namespace drydepth
