#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace drydepth {

/// Kinds of path that matter to where a job may stop, as bits.
enum Feature : std::uint8_t {
  kWall = 1,     ///< walls, gap fill, skirt, and all that is not named below
  kInfill = 2,   ///< sparse filling: hides a blob
  kTop = 4,      ///< top skin, ironing: shows one
  kBridge = 8,   ///< hangs in the air
  kTower = 16,   ///< wipe or prime tower: cleans a nozzle that has stood
  kSupport = 32  ///< comes off
};

/// What a slicer's comment announces; `text` is behind the semicolon. Slicers write
/// "TYPE:Top solid infill", "TYPE:SKIN", " FEATURE: Top surface" or " feature infill".
std::optional<Feature> read_feature(std::string_view text);

}  // namespace drydepth
