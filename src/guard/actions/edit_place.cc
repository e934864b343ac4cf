#include "guard/actions/edit_place.h"

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

}  // namespace

double kg_per_mm(const EditInput& in) {
  return strand_mass_kg(1e-3, in.spool.record.filament_diameter_m,
                        in.spool.material.density_kg_m3.value);
}

std::uint64_t line_before_crossing(const EditInput& in, double crossing_kg) {
  const double target_kg = one_wound_layer_before(in.race, crossing_kg);
  return place_of(in.trace, in.tool, target_kg / kg_per_mm(in)).line;
}

bool fit_for_block(const Trace& trace, const LayerMark& mark) {
  return mark.safe && mark.insert_offset >= trace.header_offset;
}

const LayerMark* last_fit_layer(const Trace& trace, std::uint64_t line) {
  const LayerMark* found = nullptr;
  for (const LayerMark& mark : trace.layers) {
    if (!fit_for_block(trace, mark)) continue;
    if (found && mark.line > line) break;
    found = &mark;
  }
  return found;
}

double mass_at(const EditInput& in, std::uint64_t line) {
  double length_mm = 0;
  for (const TracePoint& p : in.tool.points) {
    if (p.line > line) break;
    length_mm = p.length_mm;
  }
  return length_mm * kg_per_mm(in);
}

std::string before_crossing_text(std::string_view which, double crossing_kg) {
  return "one wound layer before the " + std::string(which) + " crossing, at " +
         format_fixed(crossing_kg * 1000.0, 0) + " g";
}

}  // namespace drydepth
