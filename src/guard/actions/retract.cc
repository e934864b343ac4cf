#include "guard/actions/retract.h"

#include "base/numbers.h"

namespace drydepth {
namespace {

// "0.20", or "0.08 to 0.20".
std::string added_text(const RetractionsDone& done) {
  const std::string least = format_fixed(done.least_mm, 2);
  const std::string most = format_fixed(done.most_mm, 2);
  return least == most ? most : least + " to " + most;
}

std::string retractions(std::size_t count) {
  return std::to_string(count) + (count == 1 ? " retraction" : " retractions");
}

}  // namespace

RetractPlan plan_retractions(const EditInput& in, const AdjustPolicy& policy) {
  RetractPlan plan;
  const auto crossing_kg = in.limit.crossing_kg[0];
  if (!crossing_kg || policy.retract_longer.value <= 0) return plan;
  if (in.spool.material.flexible) {
    plan.refused = in.spool.material.name + " is too soft to be drawn further back";
    return plan;
  }
  const LayerMark* mark =
      last_fit_layer(in.trace, line_before_crossing(in, *crossing_kg));
  if (!mark) {
    plan.refused = "no layer start is fit for a note of it";
    return plan;
  }
  plan.wish = RetractionWish{
      .tool = in.tool.tool,
      .from_line = mark->insert_line,
      .share = policy.retract_longer.value,
      .most_mm = policy.retract_most_mm.value,
      .unload_mm = policy.retract_unload_mm.value,
      .most_pairs = static_cast<std::size_t>(policy.retract_most_pairs.value),
      .several_tools = in.many_tools};
  plan.mark = PlannedEdit{.edit = {.offset = mark->insert_offset,
                                   .line = mark->insert_line,
                                   .action = "adjust"},
                          .reason = before_crossing_text("early", *crossing_kg)};
  return plan;
}

std::optional<PlannedEdit> said_retractions(const RetractPlan& plan,
                                            const RetractionsDone& done) {
  const std::size_t all = done.longer + done.firmware;
  if (!plan.mark || all == 0) return std::nullopt;
  PlannedEdit out = *plan.mark;
  out.text = retractions(all) + " " + added_text(done) + " mm longer";
  const std::string tool = " of T" + std::to_string(done.tool);
  out.edit.lines = {";drydepth: " + out.text + tool + " from here on, wet wraps"};
  return out;
}

std::string left_retractions(const LongerRetractions& all, const RetractionsDone& done,
                             std::string_view firmware) {
  if (all.too_many) return "there are too many of them";
  if (done.not_stated > 0 && done.firmware == 0) {
    return "the firmware retracts (G10), and the job does not state by how much, so " +
           std::string(firmware) + " cannot be told how much more";
  }
  if (done.shared > 0) {
    return "the firmware retracts (G10), and its one setting serves several tools";
  }
  if (all.overruled) return "M209 leaves their length to the firmware";
  if (done.left_alone == 0) return "";
  return std::to_string(done.left_alone) +
         " of them are no plain pair of a retraction and its recovery";
}

}  // namespace drydepth
