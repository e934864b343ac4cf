#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "gcode/clock/timing.h"
#include "gcode/machine/line.h"
#include "gcode/machine/modal.h"
#include "gcode/machine/plain_line.h"
#include "gcode/machine/splitter.h"
#include "gcode/read/crosscheck.h"
#include "gcode/read/curve.h"
#include "gcode/read/explain.h"
#include "gcode/read/header.h"
#include "gcode/read/layers.h"
#include "gcode/read/metadata.h"
#include "gcode/read/reading.h"
#include "gcode/read/trace.h"

namespace drydepth {

/// One pass over a job without own blocks, under one Reading: lines go to the machine
/// state, the consumption curves, the layers, the clock and the metadata.
class JobReader {
 public:
  JobReader(std::string job_name, const ScanOptions& options, Reading reading);
  JobReader(const JobReader&) = delete;  // the dialect's machine points into options
  JobReader& operator=(const JobReader&) = delete;

  /// False once the job turned out to be none.
  bool feed(std::string_view bytes);
  void note_guarded() { trace_.guarded = true; }
  Result<Trace> finish();
  /// After finish(); the reading given, where a better one would change no length.
  Reading better_reading() const;

 private:
  void take_line(const LineView& line);
  void take_comment(std::string_view text, const LineView& line);
  void take_move(const Command& c, const LineView& line);
  void take_extrusion(const Move& move, const LineView& line, double from_s);
  void take_command(const LineView& line);
  void take_named(const LineView& line);
  void take_heat(const LineView& line);
  void weigh_e_word(const Move& move);
  void begin_layer(const LineView& line, double raw_s);
  void check_kind();
  void fail(std::string where, std::string what, std::string hint);
  void select_curve();
  JobPlace place(const LineView& line) const;
  ToolTrace tool_trace(int tool, ToolCurve& curve, const TimeScale& scale);
  void state_length(ToolTrace& tool, const ToolCurve& curve);
  void add_tools(const TimeScale& scale);
  void add_notes();
  void change_tool(int from, const LineView& line);
  void add_explained();
  bool is_fed_by_speed() const;
  Error extrudes_nothing() const;

  std::string job_name_;
  const ScanOptions* options_;
  Reading reading_;
  Reading better_;
  Modal modal_;
  LineSplitter splitter_;
  HeaderFinder header_;
  LayerTracker layers_;
  Timing timing_;
  Metadata metadata_;
  Evidence evidence_;
  std::map<int, ToolCurve> curves_;
  ToolCurve* curve_ = nullptr;  // of the active tool
  struct Printed {
    double all_mm = 0, support_mm = 0;  // in moving, since the first layer
  };
  std::map<int, Printed> printed_by_tool_;
  Printed* printed_ = nullptr;      // of the active tool
  std::map<int, double> start_mm_;  // extruded before the first layer, by tool
  PlainLineReader plain_;
  Command command_;
  bool is_plain_ = false;  // plain_ holds the command of the line at hand
  Trace trace_;
  std::optional<Error> error_;
  std::string first_bytes_;
  double last_e_word_ = 0;
  bool last_line_ended_ = true;
  std::uint64_t relative_e_moves_ = 0;
  std::uint64_t e_moves_ = 0;
  std::uint64_t filament_changes_ = 0;
  std::uint64_t computed_words_ = 0;
  std::uint64_t ignored_lower_case_ = 0;
  std::uint64_t spindle_extrusion_ = 0;
  std::uint64_t xy_moves_ = 0;
  std::uint64_t flow_commands_ = 0;
  bool volume_commands_ = false;
  std::map<int, std::uint32_t> loads_;  // by tool
};

}  // namespace drydepth
