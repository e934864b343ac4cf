#include "gcode/read/explain.h"

#include <string>

#include "base/numbers.h"

namespace drydepth {
namespace {

std::string number(double value) { return format_shortest(value); }

std::string times(std::uint64_t count) {
  return count == 1 ? "once" : std::to_string(count) + " times";
}

Explained e_mode(const Understood& u) {
  std::string value = "absolute";
  if (u.relative_e_moves == u.e_moves) value = "relative";
  if (u.relative_e_moves != 0 && u.relative_e_moves != u.e_moves) {
    value = "relative on " + std::to_string(u.relative_e_moves) + " of " +
            std::to_string(u.e_moves) + " moves";
  }
  return {"E mode", value, u.reading.mode_source, u.reading.mode_guessed};
}

Explained e_unit(const Understood& u) {
  Explained row = {"E unit", u.reading.volumetric ? "mm3" : "mm", u.reading.unit_source,
                   u.reading.unit_guessed};
  if (u.volume_commands) row = {"E unit", "as M200 says", "the job's M200", false};
  return row;
}

Explained diameter(const Trace& trace, const Understood& u) {
  const double d = trace.filament_diameter_mm;
  if (!u.reading.volumetric) {
    return {"filament diameter", "not needed", "E is a length", false};
  }
  const bool guessed = u.reading.diameter_guessed;
  return {"filament diameter", number(d) + " mm",
          guessed ? "the usual one" : "the settings, or given", guessed};
}

Explained flow(const Understood& u) {
  if (u.flow_commands == 0) return {"flow", "100 %", "no M221 in the job", false};
  return {"flow", u.flow_changed ? "as M221 says" : "100 %",
          "M221 stands " + times(u.flow_commands), false};
}

/// The numbers that matter most for the time.
Explained limits(const KnownLimits& known) {
  const MotionLimits& l = known.limits;
  const auto of = [](double value) { return value > 0 ? number(value) : "none"; };
  std::string value = "print " + of(l.print_accel_mm_s2) + ", travel " +
                      of(l.travel_accel_mm_s2) + ", retract " +
                      of(l.retract_accel_mm_s2) + " mm/s2, ";
  if (l.corner == CornerRule::kDeviation) {
    value += "junction deviation " + of(l.deviation_mm) + " mm";
  } else if (l.corner == CornerRule::kSquare) {
    value += "square corner " + number(l.square_corner_mm_s) + " mm/s, cruise ratio " +
             number(l.cruise_ratio);
  } else {
    value += "jerk X " + of(l.jerk_mm_s[0]) + ", Y " + of(l.jerk_mm_s[1]) + ", Z " +
             of(l.jerk_mm_s[2]) + ", E " + of(l.jerk_mm_s[3]) + " mm/s";
  }
  return {"limits", value, known.source, !known.stated};
}

Explained tools(const Trace& trace) {
  std::string value;
  for (const ToolTrace& tool : trace.tools) {
    value += (value.empty() ? "T" : ", T") + std::to_string(tool.tool);
    if (tool.loads > 0) value += " (loaded " + times(tool.loads) + ")";
  }
  return {"tools", value, "the moves that extrude", false};
}

}  // namespace

std::vector<Explained> explain(const Trace& trace, const Understood& u) {
  const bool by_height = u.layer_form == LayerForm::kNone;
  std::vector<Explained> rows = {{"firmware", u.reading.dialect->name,
                                  u.reading.dialect_source, u.reading.dialect_guessed},
                                 e_mode(u),
                                 e_unit(u),
                                 diameter(trace, u),
                                 flow(u),
                                 tools(trace)};
  if (u.purge_mm > 0) {
    rows.push_back({"purge", number(u.purge_mm) + " mm each time a tool is loaded",
                    "given", false});
  }
  rows.push_back({"layers", std::to_string(trace.layers.size()),
                  form_name(u.layer_form), by_height});
  rows.push_back({"duration", format_fixed(trace.duration_s, 0) + " s",
                  trace.duration_source, trace.duration_spread > 0.2});
  rows.push_back(limits(u.limits));
  return rows;
}

}  // namespace drydepth
