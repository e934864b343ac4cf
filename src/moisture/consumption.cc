#include "moisture/consumption.h"

#include <algorithm>
#include <cmath>

#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// Grams below this are rounding, not filament.
constexpr double kNothingKg = 1e-9;

// Earliest time at which the curve has taken a mass.
double time_of(std::span<const DrawPoint> curve, double mass_kg) {
  const auto after = std::lower_bound(
      curve.begin(), curve.end(), mass_kg,
      [](const DrawPoint& p, double mass) { return p.mass_kg < mass; });
  if (after == curve.begin()) return curve.front().time_s;
  if (after == curve.end()) return curve.back().time_s;
  const DrawPoint& b = *after;
  const DrawPoint& a = *(after - 1);
  return a.time_s +
         (b.time_s - a.time_s) * (mass_kg - a.mass_kg) / (b.mass_kg - a.mass_kg);
}

void merge(PackSummary& into, const PackSummary& more) {
  into.steps += more.steps;
  into.rejected += more.rejected;
  into.strained |= more.strained;
}

// Equation 10 of docs/model.md, drifting air. Test: consumption, "surroundings drift
// through a job".
Surroundings later(const Surroundings& around, double seconds) {
  Surroundings out = around;
  out.air.temperature_k += around.temperature_rate_k_s * seconds;
  out.air.vapour_kg_m3 += around.vapour_rate_kg_m3_s * seconds;
  return out;
}

}  // namespace

DrawResult draw(PackSolver& solver, PackState& state, const Surroundings& around,
                std::span<const DrawPoint> curve, double enough) {
  DrawResult out;
  const PackModel& model = solver.model();
  const double total = curve.back().mass_kg, end_s = curve.back().time_s;
  double now_s = curve.front().time_s;
  const double start_s = now_s;
  const auto advance_to = [&](double time_s) {
    if (time_s > now_s) {
      merge(out.summary,
            solver.advance(state, later(around, now_s - start_s), time_s - now_s));
      now_s = time_s;
    }
  };
  const auto sample = [&] {
    out.samples.push_back(
        {now_s, out.taken_kg, layer_content(model, state, state.layers - 1)});
    return out.samples.back().content <= enough;
  };
  if (state.layers > 0 && !sample()) return out;
  // Equation 11 of docs/model.md: time passes up to the last gram of a layer, then the
  // layer goes.
  while (state.layers > 0 && total - out.taken_kg > kNothingKg) {
    const double left = remaining_mass_kg(model, state, state.layers - 1);
    const double portion = std::min(left, total - out.taken_kg);
    advance_to(time_of(curve, out.taken_kg + portion));
    out.taken_kg += portion;
    state.consumed_kg += portion;
    if (!sample()) return out;
    if (left - portion <= kNothingKg) drop_layer(model, state);
  }
  out.ran_out = state.layers == 0 && total - out.taken_kg > kNothingKg;
  if (state.layers > 0) advance_to(end_s);
  return out;
}

std::optional<double> first_crossing_kg(std::span<const NozzleSample> samples,
                                        double limit) {
  for (std::size_t k = 0; k < samples.size(); ++k) {
    const NozzleSample& s = samples[k];
    if (s.content <= limit) continue;
    if (k == 0) return s.mass_kg;
    const NozzleSample& a = samples[k - 1];
    // Linear between two samples: content = limit.
    return a.mass_kg +
           (s.mass_kg - a.mass_kg) * (limit - a.content) / (s.content - a.content);
  }
  return std::nullopt;
}

double mass_above_kg(std::span<const NozzleSample> samples, double limit) {
  double sum = 0.0;
  for (std::size_t k = 1; k < samples.size(); ++k) {
    const NozzleSample& a = samples[k - 1];
    const NozzleSample& b = samples[k];
    const double span = b.mass_kg - a.mass_kg;
    const double over_a = a.content - limit, over_b = b.content - limit;
    if (over_a > 0 && over_b > 0) {
      sum += span;
    } else if (over_a > 0 || over_b > 0) {
      // One end above: its part of the straight line.
      sum += span * std::max(over_a, over_b) / std::abs(over_a - over_b);
    }
  }
  return sum;
}

double dry_depth_kg(const PackModel& model, const PackState& state, double limit) {
  double outside = 0.0, middle_before = 0.0, content_before = 0.0;
  for (int i = state.layers - 1; i >= 0; --i) {
    const double mass = remaining_mass_kg(model, state, i);
    const double content = layer_content(model, state, i);
    const double middle = outside + mass / 2.0;
    const bool first = i == state.layers - 1;
    if (content > limit) {
      if (first) return 0.0;
      // Linear between the middles of two layers: content = limit.
      return middle_before + (middle - middle_before) * (limit - content_before) /
                                 (content - content_before);
    }
    outside += mass;
    middle_before = middle;
    content_before = content;
  }
  return outside;
}

}  // namespace drydepth
