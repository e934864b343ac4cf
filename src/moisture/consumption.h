#pragma once

// The race: the job eats the spool from outside while water moves inside it.
// docs/model.md, equation 11, a choice of the model.
//
// The outermost layer keeps its full thickness for transport until its last gram is
// gone; then it vanishes with its gap air, and the next one meets the air with its
// temperature, activity and content as they are. Turns of a layer leave one after
// another, so its worst spot is exposed for up to two layer times; the value at the
// layer's end stands for the layer's mean, and actions go one layer early.

#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "moisture/pack_solver.h"

namespace drydepth {

/// Dry mass taken since the start, over time; both never fall; the first point is (0,
/// 0).
struct DrawPoint {
  double time_s = 0;
  double mass_kg = 0;
};

/// Moisture of what reaches the nozzle when the last gram of a wound layer leaves it,
/// or at the job's first and last gram. Between two samples it is taken as linear.
struct NozzleSample {
  double time_s = 0;
  double mass_kg = 0;  ///< taken since the start
  double content = 0;  ///< kg/kg, mean of the outermost layer's strand
};

struct DrawResult {
  std::vector<NozzleSample> samples;
  bool ran_out = false;  ///< the spool ended before the job
  double taken_kg = 0;
  PackSummary summary{};
};

/// Lets a job draw on a spool in steady (or steadily drifting) surroundings until its
/// last point. Once the spool has run out, nothing more happens. Ends early at the
/// first sample whose content passes `enough` (kg/kg), for whoever asks no more.
/// Test: consumption, "layers leave from the outside, each at its own mass", "a pause
/// counts where it stands"; moisture_run, "reference run: printing".
DrawResult draw(PackSolver& solver, PackState& state, const Surroundings& around,
                std::span<const DrawPoint> curve,
                double enough = std::numeric_limits<double>::infinity());

/// Mass taken when the nozzle's content first exceeds the limit, kg; empty if it never
/// does. Linear between samples. Test: consumption, "first crossing and mass above a
/// limit".
std::optional<double> first_crossing_kg(std::span<const NozzleSample> samples,
                                        double limit);

/// Mass printed above the limit, kg. Linear between samples. Test: the same.
double mass_above_kg(std::span<const NozzleSample> samples, double limit);

/// Mass from the outermost wrap inwards that stays below the limit now, kg: the content
/// taken as linear between the middles of the layers. Test: consumption, "dry depth
/// lies between the middles of layers".
double dry_depth_kg(const PackModel& model, const PackState& state, double limit);

}  // namespace drydepth
