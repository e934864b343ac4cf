#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "gcode/machine/e_reading.h"

namespace drydepth {

/// One point of a tool's consumption curve. Lengths are the running maximum of the net
/// extruded length, flow factor applied: what has left the spool for good. Points rise
/// strictly in length and never fall in time; between them both are linear.
struct TracePoint {
  double time_s = 0;        ///< elapsed since the job's start
  double length_mm = 0;     ///< of this tool since the job's start
  std::uint64_t line = 0;   ///< 1-based, in the job without our own blocks
  std::uint32_t layer = 0;  ///< index into Trace::layers of the layer it lies in
};

/// What one tool takes from its spool over the job.
struct ToolTrace {
  int tool = 0;
  double length_mm = 0;  ///< peak of the net length, flow factor applied
  double net_mm = 0;     ///< final net length: lower by the last retraction
  std::optional<double> stated_length_mm;  ///< the slicer's word, never used as truth
  std::optional<double> stated_mass_g;     ///< likewise
  std::string stated_note;    ///< why measured and stated differ by more than 0.05 mm
  std::uint32_t loads = 0;    ///< how often it took over from another tool in the job
  std::string filament_type;  ///< of the slicer's settings, e.g. "NYLON"; else empty
  double support_share = 0;   ///< of what it prints: support, interface or tower
  std::vector<TracePoint> points;
};

/// A layer of the part, and the place where a block may be put in at its start.
struct LayerMark {
  std::uint64_t line = 0;           ///< 1-based line of the mark
  std::uint64_t insert_offset = 0;  ///< byte offset of the first line after the mark
                                    ///< and the comments that belong to it
  std::uint64_t insert_line = 0;    ///< 1-based line that starts at insert_offset
  double z_mm = 0;
  double time_s = 0;
  std::uint8_t features = 0;       ///< kinds of path in it, bits of Feature
  std::uint8_t first_feature = 0;  ///< the one that comes first; 0 where not stated
  bool safe = true;  ///< false inside wipes, tool changes, conditionals, object spans,
                     ///< start G-code, or without a line end before it
};

/// A nozzle temperature that the job sets, and the place right after it.
struct HeatMark {
  std::uint64_t line = 0;           ///< 1-based line of the command
  std::uint64_t insert_offset = 0;  ///< byte offset of the line after it
  std::uint64_t insert_line = 0;
  int tool = 0;
  double target_c = 0;  ///< 0 switches off
  bool waits = false;   ///< M109: the job stands until it is reached
};

/// One thing that was understood of a job, and why.
struct Explained {
  std::string what;    ///< "E unit"
  std::string value;   ///< "mm3"
  std::string source;  ///< "use_volumetric_e on line 5231"
  bool guessed = false;
};

/// All that the physics needs to know of a job, and where text may be put into it.
struct Trace {
  std::vector<ToolTrace> tools;  ///< those that extrude, by tool number
  std::vector<LayerMark> layers;
  double duration_s = 0;
  std::string duration_source;  ///< in words, for people
  double duration_spread = 0;   ///< fraction, e.g. 0.3 where only feeds are known
  std::string slicer;           ///< name and version as found, else empty
  std::string firmware;         ///< id of the dialect, e.g. "marlin"
  std::string firmware_source;  ///< in words: where that stands, or that it is a guess
  double filament_diameter_mm = 0;  ///< turned volumes into lengths; 0 where not needed
  EReading e_reading;
  std::uint64_t bytes = 0;  ///< of the job without our own blocks
  std::uint64_t lines = 0;
  std::uint64_t header_offset = 0;  ///< where the header block goes; never 0
  std::uint64_t header_line = 0;    ///< 1-based line that starts at header_offset
  std::vector<HeatMark> heats;      ///< in job order; the first 65536 of them
  std::string user_pause;           ///< the slicer's own pause command if stated in the
                                    ///< job or its environment; see pause_command()
  bool guarded = false;             ///< our own blocks were found (and skipped)
  std::vector<Explained> explained;  ///< how the job was understood, in a fixed order
  std::vector<std::string> notes;    ///< what was odd or guessed, one sentence each
};

}  // namespace drydepth
