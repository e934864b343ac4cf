#include "guard/plan.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"
#include "guard/place.h"

namespace drydepth {
namespace {

// Start of the wound layer before the one that holds a mass: the samples are the ends
// of wound layers, the first of them the job's start.
double one_wound_layer_before(const FeedRace& race, double mass_kg) {
  std::size_t k = 0;
  while (k + 1 < race.nozzle.size() && race.nozzle[k + 1].mass_kg < mass_kg) ++k;
  return k > 0 ? race.nozzle[k - 1].mass_kg : 0.0;
}

const LayerMark* last_fit_layer(const Trace& trace, std::uint64_t line) {
  const LayerMark* found = nullptr;
  for (const LayerMark& mark : trace.layers) {
    if (!mark.safe || mark.insert_offset < trace.header_offset) continue;
    if (found && mark.line > line) break;
    found = &mark;
  }
  return found;
}

// Dry mass a tool has taken when the job reaches a line, kg.
double mass_at(const ToolTrace& tool, std::uint64_t line, double kg_per_mm) {
  double length_mm = 0;
  for (const TracePoint& p : tool.points) {
    if (p.line > line) break;
    length_mm = p.length_mm;
  }
  return length_mm * kg_per_mm;
}

}  // namespace

std::optional<PlannedEdit> plan_message(const Trace& trace, const ToolTrace& tool,
                                        const Dialect& dialect, const Contest& contest,
                                        const FeedRace& race, const LimitRace& limit,
                                        bool many_tools) {
  if (!limit.crossing_kg[0]) return std::nullopt;
  const double crossing_kg = *limit.crossing_kg[0];
  const double kg_per_mm = strand_mass_kg(1e-3, contest.record.filament_diameter_m,
                                          contest.material.density_kg_m3.value);
  const double target_kg = one_wound_layer_before(race, crossing_kg);
  const LayerMark* mark =
      last_fit_layer(trace, place_of(trace, tool, target_kg / kg_per_mm).line);
  if (!mark) return std::nullopt;

  const double lead_kg = crossing_kg - mass_at(tool, mark->insert_line, kg_per_mm);
  const long grams = std::lround(std::max(0.0, lead_kg) * 1000.0);
  std::string text = many_tools ? "t" + std::to_string(tool.tool) + " " : "";
  text += grams > 0 ? "wet wraps in " + std::to_string(grams) + " g" : "wet wraps now";
  const auto line = display_message(dialect, text);
  if (!line) return std::nullopt;

  PlannedEdit out;
  out.edit = {.offset = mark->insert_offset,
              .line = mark->insert_line,
              .action = "message",
              .lines = {*line}};
  out.text = text;
  out.reason = "one wound layer before the early crossing, at " +
               format_fixed(crossing_kg * 1000.0, 0) + " g";
  return out;
}

}  // namespace drydepth
