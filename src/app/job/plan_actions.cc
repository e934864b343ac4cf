#include "app/job/plan_actions.h"

#include <algorithm>

#include "base/exit_code.h"
#include "base/nearest.h"
#include "guard/actions/adjust.h"
#include "guard/actions/message.h"

namespace drydepth {
namespace {

const std::vector<std::string> kActions = {"note", "message", "pause", "adjust"};

void sort_edits(Report& report) {
  std::stable_sort(report.edits.begin(), report.edits.end(),
                   [](const PlannedEdit& a, const PlannedEdit& b) {
                     return a.edit.offset < b.edit.offset;
                   });
}

}  // namespace

Result<Actions> read_actions(const ActionWords& words) {
  Actions out;
  out.message = words.actions.empty();
  for (const std::string& word : words.actions) {
    if (word == "message") {
      out.message = true;
    } else if (word == "pause") {
      out.pause = true;
    } else if (word == "adjust") {
      out.adjust = true;
    } else if (word != "note") {
      return Error{"--action", "unknown action \"" + word + "\"",
                   did_you_mean(word, kActions), kExitUsage};
    }
  }
  if (!words.support.empty()) {
    const auto weight = read_support_weight(words.support);
    if (!weight) {
      return Error{"--support", "\"" + words.support + "\" is no way to count",
                   "write same, less or ignore", kExitUsage};
    }
    out.support = *weight;
  }
  if (words.attended.empty()) return out;
  const auto attended = parse_attended(words.attended);
  if (!attended) {
    return Error{"--attended", attended.error().what, attended.error().hint,
                 kExitUsage};
  }
  out.attended = *attended;
  return out;
}

void plan_actions(const EditInput& in, const Actions& actions, const Policy& policy,
                  const LocalZone& zone, Report& report) {
  const auto say = [&](const std::string& sentence) {
    const std::string tool =
        in.many_tools ? "T" + std::to_string(in.tool.tool) + ": " : "";
    report.advice.push_back(tool + sentence);
  };
  if (actions.message) {
    if (auto message = plan_message(in)) report.edits.push_back(*std::move(message));
  }
  if (actions.pause) {
    PausePlan plan = plan_pause(in, {policy.pause, report.at, zone, actions.attended});
    if (plan.edit) report.edits.push_back(*std::move(plan.edit));
    if (!plan.refused.empty()) say("no pause: " + plan.refused + ".");
    if (!plan.against.empty()) say("against the pause: " + plan.against + ".");
    if (!plan.stands.empty()) say("at the pause: " + plan.stands + ".");
  }
  if (actions.adjust) {
    AdjustPlan plan = plan_adjust(in, policy.adjust);
    for (PlannedEdit& e : plan.edits) report.edits.push_back(std::move(e));
    if (!plan.refused.empty()) say("nozzle left alone: " + plan.refused + ".");
    RetractPlan retract = plan_retractions(in, policy.adjust);
    if (!retract.refused.empty()) {
      say("retractions left alone: " + retract.refused + ".");
    }
    if (retract.wish) report.retract.push_back(std::move(retract));
  }
  sort_edits(report);
}

Result<Done> lengthen(const ByteSource& job, const Trace& trace,
                      const std::vector<Dialect>& dialects, Report& report) {
  const Dialect* dialect = find_dialect(dialects, trace.firmware);
  if (report.retract.empty() || dialect == nullptr) return Done{};
  std::vector<RetractionWish> wishes;
  for (const RetractPlan& plan : report.retract) wishes.push_back(*plan.wish);
  auto longer = lengthen_retractions(job, *dialect, trace.e_reading, wishes);
  if (!longer) return longer.error();
  for (std::size_t k = 0; k < wishes.size(); ++k) {
    const RetractionsDone& done = longer->tools[k];
    auto said = said_retractions(report.retract[k], done);
    if (said && !longer->too_many) report.edits.push_back(*std::move(said));
    const std::string left = left_retractions(*longer, done, dialect->name);
    if (left.empty()) continue;
    const std::string tool =
        trace.tools.size() > 1 ? "T" + std::to_string(done.tool) + ": " : "";
    report.advice.push_back(tool + "retractions left alone: " + left + ".");
  }
  report.line_edits = std::move(longer->edits);
  sort_edits(report);
  return Done{};
}

}  // namespace drydepth
