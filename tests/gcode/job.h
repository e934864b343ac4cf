#pragma once

#include <string>
#include <vector>

#include "base/files.h"
#include "gcode/read/scan.h"

namespace drydepth::test {

inline DialectSign sign(const char* key, const char* pattern, int weight = 10) {
  return {key, *Pattern::compile(pattern), weight};
}

/// A few firmwares, as far as the tests need them. The real ones are rule files, which
/// this layer does not know.
inline std::vector<Dialect> dialects() {
  Dialect marlin;
  marlin.id = "marlin";
  marlin.e_rule = ERule::kSet;
  marlin.message = MessageForm{"M117 ", "", 20};
  marlin.signs = {sign("gcode_flavor", "^marlin2?$"), sign("flavor", "^Marlin")};
  Dialect klipper;
  klipper.id = "klipper";
  klipper.e_rule = ERule::kOr;
  klipper.lower_case = true;
  klipper.flow_per_tool = false;
  klipper.bare_g92_zeroes = true;
  klipper.pause = "PAUSE";
  klipper.signs = {sign("gcode_flavor", "^klipper$"),
                   sign("command", "\\bSET_VELOCITY_LIMIT\\b", 12)};
  Dialect prusa;
  prusa.id = "prusa";
  prusa.e_rule = ERule::kLeave;
  prusa.pause = "M601";
  prusa.obeys_m601 = true;
  prusa.signs = {sign("printer_model", "^MK3S$", 20)};
  Dialect mach3;
  mach3.id = "mach3";
  mach3.e_axes = "A";
  mach3.signs = {sign("gcode_flavor", "^mach3$")};
  Dialect unknown;
  unknown.id = "unknown";
  unknown.e_axes = "EAB";
  unknown.lower_case = true;
  return {marlin, klipper, prusa, mach3, unknown};
}

inline ScanOptions options(const char* dialect_id = nullptr) {
  ScanOptions o;
  o.dialects = dialects();
  if (dialect_id != nullptr) o.dialect_id = dialect_id;
  return o;
}

inline Result<Trace> scan_text(std::string text, const ScanOptions& o) {
  return scan(memory_source("job.gcode", std::move(text)), o);
}

inline std::string sample_path(const std::string& name) {
  return std::string(DRYDEPTH_TEST_DATA) + "/gcode/" + name;
}

inline std::string sample(const std::string& name) {
  auto text = read_whole_file(sample_path(name));
  return text ? *text : std::string();
}

/// Every sample job, in the order of their names.
inline std::vector<std::string> sample_names() {
  return {"cura413_cube_makerbot.gcode",
          "cura413_cube_marlin.gcode",
          "cura413_cube_relE_fwretract_rrf.gcode",
          "cura413_cube_ultigcode.gcode",
          "cura413_cube_volumetric.gcode",
          "ps25_cube_mach3_E_is_A.gcode",
          "ps25_cube_marlin2_M73.gcode",
          "ps25_cube_marlin2_comments_labels.gcode",
          "ps25_cube_marlin2_relE.gcode",
          "ps25_cube_marlin2_wipe_spiral.gcode",
          "ps25_cube_marlin_volumetricE.gcode",
          "ps25_cube_repetier.gcode",
          "ps25_cube_reprapfw_fwretract_absE.gcode",
          "ps25_cube_smoothie.gcode",
          "slic3r13_cube_marlin.gcode"};
}

}  // namespace drydepth::test
