#pragma once

#include <optional>
#include <string>
#include <vector>

namespace drydepth {

/// A moment in two times.
struct TimeAnchor {
  double raw_s = 0;
  double true_s = 0;
};

/// The second time at a moment of the first: straight lines between anchors that rise
/// in both; beyond the last one it stands still.
double time_at(const std::vector<TimeAnchor>& anchors, double raw_s);

/// From the raw time of feeds alone, which knows no acceleration, by way of the planned
/// time to the time the slicer states.
struct TimeScale {
  std::vector<TimeAnchor> planned = {{0, 0}};  ///< raw to planned
  std::vector<TimeAnchor> anchors = {{0, 0}};  ///< planned to true; the last is the end
  std::string source;                          ///< in words
  double spread = 0;                           ///< fraction

  double duration_s() const { return anchors.back().true_s; }
  double at(double raw_s) const { return time_at(anchors, time_at(planned, raw_s)); }
};

/// What a job's time is taken from besides what it states as it runs.
struct TimeFacts {
  std::vector<TimeAnchor> planned;  ///< raw to planned, see Planner
  std::optional<double> total_s;    ///< as stated
  std::string total_source;         ///< in words
  std::string limits_source;        ///< likewise, of the machine's limits
  bool limits_stated = false;
  std::optional<double> given_s;  ///< by the user, in place of all that is stated
  bool anchored = true;           ///< false: the plan alone counts
};

/// Gathers what a job tells of its time while it is read.
class JobClock {
 public:
  /// A comment with the time elapsed so far.
  void elapsed(double raw_s, double elapsed_s);
  /// An M73 with the minutes that remain.
  void remaining(double raw_s, double minutes);
  TimeScale settle(TimeFacts facts) const;
  /// True when the job states times as it runs.
  bool any() const { return !elapsed_.empty() || !remaining_.empty(); }

 private:
  void settle_elapsed(TimeScale& scale, const std::optional<double>& total_s) const;
  void settle_remaining(TimeScale& scale, double total_s) const;

  std::vector<TimeAnchor> elapsed_;
  std::vector<TimeAnchor> remaining_;  // raw_s, and minutes in true_s
  bool elapsed_broken_ = false;
};

}  // namespace drydepth
