#include "guard/trial.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

constexpr double kBeyond = std::numeric_limits<double>::infinity();

void stand(PackSolver& solver, PackState& state, const Stay& stay, const Spool& spool,
           const Member& member) {
  if (stay.seconds <= 0) return;
  const Surroundings around = surroundings(stay.air, stay.fan, spool, member);
  if (around.chamber) state.y.chamber() = around.chamber->inlet_kg_m3;
  state.step_s = 0;
  solver.advance(state, around, stay.seconds);
}

// The first of 0..last at which `holds`, which once true stays true; last + 1: none.
template <class Holds>
int first_step(int last, Holds holds) {
  if (holds(0)) return 0;
  if (last == 0 || !holds(last)) return last + 1;
  int fails = 0, good = last;
  while (good - fails > 1) {
    const int middle = fails + (good - fails) / 2;
    (holds(middle) ? good : fails) = middle;
  }
  return good;
}

std::array<std::optional<double>, 3> spread(const std::vector<double>& steps) {
  const Percentiles p = percentiles(steps);
  const auto finite = [](double v) {
    return std::isfinite(v) ? std::optional<double>(v) : std::nullopt;
  };
  return {finite(p.p10), finite(p.p50), finite(p.p90)};
}

}  // namespace

double crossing_kg(const Lineup& lineup, std::size_t member, const Way& way) {
  const Spool& spool = lineup.spool;
  const MemberStart& start = lineup.starts[member];
  PackSolver solver = solver_of(start);
  PackState state = start.state;
  for (const Stay& stay : way.before) {
    stand(solver, state, stay, spool, start.member);
  }
  take_from_outside(solver.model(), way.discard_kg, state);
  return crossing_kg(solver, std::move(state),
                     around_spool(spool, way.feed, start.member), lineup.job,
                     lineup.limit);
}

std::vector<double> crossings_kg(const Lineup& lineup, const Way& way) {
  std::vector<double> out(lineup.starts.size());
  for_each_index(out.size(), lineup.threads,
                 [&](std::size_t k) { out[k] = crossing_kg(lineup, k, way); });
  return out;
}

std::size_t allowed(std::size_t count, double target) {
  std::size_t out = 0;
  while (out + 1 < count &&
         static_cast<double>(out + 1) / static_cast<double>(count) < target) {
    ++out;
  }
  return out;
}

double carries_kg(std::vector<double> crossings_kg, double target) {
  std::sort(crossings_kg.begin(), crossings_kg.end());
  return crossings_kg[allowed(crossings_kg.size(), target)];
}

Turn first_that_carries(const Lineup& lineup, const Dial& dial, double target) {
  std::vector<double> steps(lineup.starts.size());
  for_each_index(steps.size(), lineup.threads, [&](std::size_t m) {
    const int step = first_step(dial.last, [&](int k) {
      return crossing_kg(lineup, m, dial.way(k)) == kNeverKg;
    });
    steps[m] = step > dial.last ? kBeyond : step;
  });
  Turn out{.range = spread(steps)};
  std::sort(steps.begin(), steps.end());
  const double enough = steps[steps.size() - 1 - allowed(steps.size(), target)];
  int step = enough <= dial.last ? static_cast<int>(enough) : dial.last;
  for (;; ++step) {
    out.crossings_kg = crossings_kg(lineup, dial.way(step));
    if (chance_of(out.crossings_kg) < target) {
      out.step = step;
      return out;
    }
    if (step >= dial.last) return out;
  }
}

Turn last_that_carries(const Lineup& lineup, const Dial& dial, double target) {
  std::vector<double> steps(lineup.starts.size());
  for_each_index(steps.size(), lineup.threads, [&](std::size_t m) {
    const int harmed = first_step(dial.last, [&](int k) {
      return crossing_kg(lineup, m, dial.way(k)) < kNeverKg;
    });
    steps[m] = harmed > dial.last ? kBeyond : harmed - 1;
  });
  Turn out{.range = spread(steps)};
  std::sort(steps.begin(), steps.end());
  const double until = steps[allowed(steps.size(), target)];
  int step = until <= dial.last ? static_cast<int>(until) : dial.last;
  for (; step >= 0; --step) {
    out.crossings_kg = crossings_kg(lineup, dial.way(step));
    if (chance_of(out.crossings_kg) < target) {
      out.step = step;
      return out;
    }
  }
  return out;
}

}  // namespace drydepth
