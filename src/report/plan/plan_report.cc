#include "report/plan/plan_report.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace drydepth {
namespace {

// Nylon that goes on in hot air yellows and grows brittle: a day at 80 C is the usual
// cap (common practice, no source).
constexpr double kUsualCapS = 24 * kSecondsPerHour;

}  // namespace

void rank_others(SpoolPlan& plan) {
  std::size_t use = 0;
  for (std::size_t f = 0; f < plan.frame.feeds.size(); ++f) {
    if (plan.frame.feeds[f].feed == plan.in_use) use = f;
  }
  const auto key = [use](const OtherSpool& o) {
    return std::tuple(!o.told, o.chances[use],
                      *std::min_element(o.chances.begin(), o.chances.end()), o.id);
  };
  std::sort(plan.others.begin(), plan.others.end(),
            [&](const OtherSpool& a, const OtherSpool& b) { return key(a) < key(b); });
}

Instant start_of(const PlanReport& report, const Choice& choice) {
  return report.head.at + Seconds(std::llround(choice.lead_s));
}

std::optional<QueuePlace> carries_to(const PlanReport& report, const SpoolPlan& plan,
                                     const Choice& choice) {
  if (choice.carries_kg == kNeverKg) return std::nullopt;
  return queue_place(report.queue, plan.spool.tool,
                     choice.carries_kg / kg_per_mm(plan.spool));
}

std::vector<std::string> plan_cautions(const PlanReport& report) {
  std::vector<std::string> out = usual_cautions(report.head);
  double longest_s = 0;
  for (const SpoolPlan& plan : report.plans) {
    for (const Choice& c : plan.choices.list) {
      if (c.suffices) longest_s = std::max(longest_s, c.lead_s);
    }
  }
  out.push_back(
      "Dry no hotter than data sheet, filament and spool body allow; a spool out of "
      "the "
      "dryer stays hot inside for long, and a soft filament may block its feeder until "
      "it has cooled.");
  if (longest_s > kUsualCapS) {
    out.push_back(
        "Polymers age in hot air: more than a day at 80 C is not usual (common "
        "practice, no source).");
  }
  return out;
}

}  // namespace drydepth
