#include "guard/plan.h"

#include <algorithm>
#include <cmath>

namespace drydepth {

std::optional<PlannedEdit> plan_message(const EditInput& in) {
  if (!in.limit.crossing_kg[0]) return std::nullopt;
  const double crossing_kg = *in.limit.crossing_kg[0];
  const LayerMark* mark =
      last_fit_layer(in.trace, line_before_crossing(in, crossing_kg));
  if (!mark) return std::nullopt;

  const double lead_kg = crossing_kg - mass_at(in, mark->insert_line);
  const long grams = std::lround(std::max(0.0, lead_kg) * 1000.0);
  std::string text = in.many_tools ? "t" + std::to_string(in.tool.tool) + " " : "";
  text += grams > 0 ? "wet wraps in " + std::to_string(grams) + " g" : "wet wraps now";
  const auto line = display_message(in.dialect, text);
  if (!line) return std::nullopt;
  return PlannedEdit{.edit = {.offset = mark->insert_offset,
                              .line = mark->insert_line,
                              .action = "message",
                              .lines = {*line}},
                     .text = text,
                     .reason = before_crossing_text("early", crossing_kg)};
}

}  // namespace drydepth
