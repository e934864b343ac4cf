#pragma once

#include <optional>
#include <string>
#include <vector>

namespace drydepth {

/// From the raw time of feeds alone, which knows no acceleration, to the time the
/// slicer states: straight lines between places where the job tells its elapsed or
/// remaining time.
struct TimeScale {
  struct Anchor {
    double raw_s = 0;
    double true_s = 0;
  };
  std::vector<Anchor> anchors = {{0, 0}};  ///< rising in both; the last is the end
  std::string source;                      ///< in words
  double spread = 0;                       ///< fraction

  double duration_s() const { return anchors.back().true_s; }
  /// The true time at a raw one; beyond the last anchor it is the last one's.
  double at(double raw_s) const;
};

/// Gathers what a job tells of its time while it is read.
class JobClock {
 public:
  /// A comment with the time elapsed so far.
  void elapsed(double raw_s, double elapsed_s);
  /// An M73 with the minutes that remain.
  void remaining(double raw_s, double minutes);
  /// The scale, given the job's raw duration and the total stated, if any.
  TimeScale settle(double raw_total_s, std::optional<double> stated_total_s,
                   const std::string& stated_source) const;

 private:
  std::vector<TimeScale::Anchor> elapsed_;
  std::vector<TimeScale::Anchor> remaining_;  // raw_s, and minutes in true_s
  bool elapsed_broken_ = false;
};

}  // namespace drydepth
