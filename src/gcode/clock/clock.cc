#include "gcode/clock/clock.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace drydepth {
namespace {

using Anchor = TimeAnchor;

// Estimates of slicers against real prints, as users report them: 10 % is normal, 30 %
// plausible (OrcaSlicer/OrcaSlicer#1612, #1969, #5799).
constexpr double kStatedSpread = 0.1;
constexpr double kPlannedSpread = 0.3;  // where the limits are not the machine's own
constexpr std::size_t kMostAnchors = 1'000'000;

/// Puts an anchor behind the others unless it goes back in either time.
void extend(std::vector<Anchor>& anchors, Anchor next) {
  const Anchor& last = anchors.back();
  if (next.raw_s > last.raw_s && next.true_s >= last.true_s) anchors.push_back(next);
}

/// Puts the end of the job behind the anchors. What lies behind the last one keeps the
/// pace of the whole where no total is stated.
void close(std::vector<Anchor>& anchors, double raw_total_s,
           std::optional<double> total_s) {
  const Anchor last = anchors.back();
  const double pace = last.raw_s > 0 ? last.true_s / last.raw_s : 1;
  const double end = last.true_s + (raw_total_s - last.raw_s) * pace;
  const double total = std::max(total_s.value_or(end), last.true_s);
  if (raw_total_s > last.raw_s) {
    anchors.push_back({raw_total_s, total});
  } else {
    anchors.back().true_s = total;
  }
}

/// Remaining minutes are rounded down, up or to the nearest by different slicers. How
/// much really remains, in minutes, when the number falls to n: n + 1, n or n + 1/2.
double remaining_at_change(double first_minutes, double total_s) {
  const double exact = total_s / 60;
  if (std::floor(exact) == first_minutes && exact - first_minutes >= 0.5) return 1;
  if (std::ceil(exact) == first_minutes && first_minutes - exact >= 0.5) return 0;
  return 0.5;
}

}  // namespace

double time_at(const std::vector<TimeAnchor>& anchors, double raw_s) {
  if (anchors.size() < 2 || raw_s <= 0) return 0;
  if (raw_s >= anchors.back().raw_s) return anchors.back().true_s;
  const auto above =
      std::upper_bound(anchors.begin(), anchors.end(), raw_s,
                       [](double raw, const Anchor& a) { return raw < a.raw_s; });
  const Anchor& to = *above;
  const Anchor& from = *(above - 1);
  const double part = (raw_s - from.raw_s) / (to.raw_s - from.raw_s);
  return from.true_s + part * (to.true_s - from.true_s);
}

void JobClock::elapsed(double raw_s, double elapsed_s) {
  if (!elapsed_.empty() && elapsed_s < elapsed_.back().true_s) elapsed_broken_ = true;
  if (elapsed_.size() < kMostAnchors) elapsed_.push_back({raw_s, elapsed_s});
}

void JobClock::remaining(double raw_s, double minutes) {
  const bool changed = remaining_.empty() || minutes < remaining_.back().true_s;
  if (changed && remaining_.size() < kMostAnchors) {
    remaining_.push_back({raw_s, minutes});
  }
}

void JobClock::settle_elapsed(TimeScale& scale,
                              const std::optional<double>& total_s) const {
  for (const Anchor& a : elapsed_) {
    extend(scale.anchors, {time_at(scale.planned, a.raw_s), a.true_s});
  }
  scale.source = "the elapsed times that the slicer states at each layer";
  // An end far from the last elapsed time belongs to something else.
  const double last = elapsed_.back().true_s;
  const bool fits = total_s && *total_s < 1.1 * last + 60;
  close(scale.anchors, scale.planned.back().true_s, fits ? total_s : std::nullopt);
}

void JobClock::settle_remaining(TimeScale& scale, double total_s) const {
  for (std::size_t i = 1; i < remaining_.size(); ++i) {
    const double shift = remaining_at_change(remaining_.front().true_s, total_s);
    const double left_s = (remaining_[i].true_s + shift) * 60;
    extend(scale.anchors,
           {time_at(scale.planned, remaining_[i].raw_s), total_s - left_s});
  }
  close(scale.anchors, scale.planned.back().true_s, total_s);
}

TimeScale JobClock::settle(TimeFacts facts) const {
  TimeScale scale;
  scale.planned = std::move(facts.planned);
  scale.spread = kStatedSpread;
  if (facts.given_s) {
    scale.source = "the total that was given";
    close(scale.anchors, scale.planned.back().true_s, facts.given_s);
  } else if (facts.anchored && !elapsed_.empty() && !elapsed_broken_) {
    settle_elapsed(scale, facts.total_s);
  } else if (facts.anchored && facts.total_s) {
    scale.source = "the slicer's total (" + facts.total_source + ")";
    if (remaining_.size() > 1) scale.source += " with the job's M73 lines";
    settle_remaining(scale, *facts.total_s);
  } else if (facts.anchored && !remaining_.empty()) {
    scale.source = "the remaining minutes in the job's M73 lines";
    settle_remaining(scale, remaining_.front().true_s * 60);
  } else {
    scale.source = "the moves, planned with " + facts.limits_source;
    if (!facts.limits_stated) scale.spread = kPlannedSpread;
    close(scale.anchors, scale.planned.back().true_s, std::nullopt);
  }
  return scale;
}

}  // namespace drydepth
