#include "guard/actions/adjust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "base/numbers.h"

namespace drydepth {
namespace {

struct Step {
  const LayerMark* mark;
  double shift_c;  // from the sliced value, in all
  std::string reason;
};

std::vector<Step> steps(const EditInput& in, const AdjustPolicy& policy) {
  std::vector<Step> out;
  constexpr std::array<std::string_view, 2> kWhich = {"early", "likely"};
  for (std::size_t k = 0; k < kWhich.size(); ++k) {
    const std::optional<double> crossing_kg = in.limit.crossing_kg[k];
    if (!crossing_kg) break;
    const LayerMark* mark =
        last_fit_layer(in.trace, line_before_crossing(in, *crossing_kg));
    if (!mark) break;
    const double shift =
        std::min(static_cast<double>(k + 1) * policy.step_c.value, policy.most_c.value);
    const std::string reason = before_crossing_text(kWhich[k], *crossing_kg);
    const bool same_place = !out.empty() && out.back().mark == mark;
    // Two steps at one layer start are one oscillation too many: the first will do.
    if (!same_place) out.push_back({mark, shift, reason});
  }
  return out;
}

class NozzleDown {
 public:
  NozzleDown(const EditInput& in, const AdjustPolicy& policy)
      : in_(in),
        least_c_(std::max(policy.least_nozzle_c.value,
                          in.spool.material.nozzle_min_c.value)) {}

  // The line that sets the sliced temperature less the shift; nothing where that would
  // not be lower, or the value is one of standing by.
  void put(std::uint64_t offset, std::uint64_t line, double sliced_c, double shift_c,
           const std::string& reason) {
    if (sliced_c < least_c_) return;
    const long lower = std::lround(std::max(least_c_, sliced_c - shift_c));
    if (static_cast<double>(lower) >= sliced_c) return;
    const std::string drop =
        format_fixed(sliced_c - static_cast<double>(lower), 0) + " C lower";
    std::string command = in_.dialect.nozzle + std::to_string(lower);
    if (in_.many_tools) command += " T" + std::to_string(in_.tool.tool);
    out.push_back(
        {.edit = {.offset = offset,
                  .line = line,
                  .action = "adjust",
                  .lines = {";drydepth: nozzle " + drop + ", wet wraps", command}},
         .text = "nozzle " + drop + ", " + std::to_string(lower) + " C",
         .reason = reason});
  }

  std::vector<PlannedEdit> out;

 private:
  const EditInput& in_;
  double least_c_;
};

}  // namespace

AdjustPlan plan_adjust(const EditInput& in, const AdjustPolicy& policy) {
  AdjustPlan plan;
  const std::vector<Step> todo = steps(in, policy);
  if (todo.empty()) return plan;
  if (in.dialect.nozzle.empty()) {
    plan.refused = "how " + in.dialect.name + " sets the nozzle is not certain";
    return plan;
  }
  NozzleDown down(in, policy);
  double sliced_c = 0, shift_c = 0;
  auto step = todo.begin();
  const auto take_steps = [&](std::uint64_t up_to_line) {
    for (; step != todo.end() && step->mark->insert_line <= up_to_line; ++step) {
      shift_c = step->shift_c;
      if (sliced_c <= 0) continue;
      down.put(step->mark->insert_offset, step->mark->insert_line, sliced_c, shift_c,
               step->reason);
    }
  };
  for (const HeatMark& heat : in.trace.heats) {
    if (heat.tool != in.tool.tool) continue;
    take_steps(heat.line);
    sliced_c = heat.target_c;
    if (shift_c > 0 && sliced_c > 0) {
      down.put(heat.insert_offset, heat.insert_line, sliced_c, shift_c,
               "the job sets " + format_fixed(sliced_c, 0) + " C here");
    }
  }
  take_steps(~std::uint64_t{0});
  plan.edits = std::move(down.out);
  if (plan.edits.empty()) {
    plan.refused = "the sliced nozzle temperature leaves no room above " +
                   format_fixed(in.spool.material.nozzle_min_c.value, 0) + " C";
  }
  return plan;
}

}  // namespace drydepth
