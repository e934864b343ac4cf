// Time and error of one spool: 24 h of drying, then a print of 30 h, 30 layers,
// standard shells, one core. Prints a table; docs/model.md says which machine gave its
// figures.
//   pack_bench [repeats]

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>

#include "moisture/reference_run.h"
#ifdef DRYDEPTH_HAS_CVODE
#include "reference/cvode_pack.h"
#endif

namespace drydepth {
namespace {

namespace run = reference_run;

struct Outcome {
  std::vector<double> contents;  // by layer after drying, then at the end of each layer
  long steps = 0;
};

using Advance = std::function<long(PackState&, const Surroundings&, double)>;

// 600 g leave at 20 g/h.
Outcome history(const PackSolver& solver, const Advance& advance) {
  const PackModel& model = solver.model();
  PackState state = solver.uniform(DryBasis{run::kStartContent}, Kelvin{run::kRoomK});
  Outcome out;
  out.steps += advance(state, run::heater(82), 24 * kSecondsPerHour);
  for (int i = 0; i < state.layers; ++i) {
    out.contents.push_back(layer_content(model, state, i));
  }
  double hours_left = 30;
  while (hours_left > 0) {
    const double whole_hours =
        remaining_mass_kg(model, state, state.layers - 1) / run::kDrawKgPerHour;
    const double hours = std::min(hours_left, whole_hours);
    out.steps += advance(state, run::open_air(), hours * kSecondsPerHour);
    out.contents.push_back(layer_content(model, state, state.layers - 1));
    hours_left -= hours;
    if (hours_left > 0) drop_layer(model, state);
  }
  return out;
}

Outcome with_ours(const PackOptions& options) {
  PackSolver solver(run::polymer(), run::winding(), run::pack(), options);
  const Advance advance = [&](PackState& state, const Surroundings& around, double s) {
    const PackSummary summary = solver.advance(state, around, s);
    return summary.steps + summary.rejected;
  };
  return history(solver, advance);
}

double worst(const Outcome& a, const Outcome& b) {
  double out = 0;
  for (std::size_t k = 0; k < a.contents.size(); ++k) {
    out = std::max(out, std::abs(a.contents[k] - b.contents[k]));
  }
  return out;
}

// In turns, so that what else the machine does falls on all alike.
std::vector<double> medians_ms(int repeats,
                               const std::vector<std::function<void()>>& works) {
  std::vector<std::vector<double>> ms(works.size());
  for (int k = 0; k < repeats; ++k) {
    for (std::size_t n = 0; n < works.size(); ++n) {
      const auto start = std::chrono::steady_clock::now();
      works[n]();
      const std::chrono::duration<double, std::milli> spent =
          std::chrono::steady_clock::now() - start;
      ms[n].push_back(spent.count());
    }
  }
  std::vector<double> out;
  for (std::vector<double>& one : ms) {
    std::sort(one.begin(), one.end());
    out.push_back(one[one.size() / 2]);
  }
  return out;
}

void report(const char* name, double ms, const Outcome& outcome, const Outcome& exact) {
  std::printf("%-28s %8.2f ms  %6ld steps  error %.1e\n", name, ms, outcome.steps,
              worst(outcome, exact));
}

#ifdef DRYDEPTH_HAS_CVODE
// The loosest of CVODE's tolerances that is no worse than ours.
void compare(int repeats, const Outcome& ours, const Outcome& exact) {
  const PackSolver solver(run::polymer(), run::winding(), run::pack());
  for (const double relative : {1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6}) {
    // Absolute: contents of order 1e-2, vapour of 1e-2, and 300 K.
    const CvodeTolerance tolerance{relative / 100, relative * 1e-2, relative * 1e-2,
                                   relative * 10};
    CvodePack cvode(solver.model(), tolerance);
    const Advance advance = [&](PackState& state, const Surroundings& around,
                                double s) { return cvode.advance(state, around, s); };
    const Outcome outcome = history(solver, advance);
    if (worst(outcome, exact) > worst(ours, exact)) continue;
    const std::vector<double> ms =
        medians_ms(repeats, {[] { with_ours({}); }, [&] { history(solver, advance); }});
    report("ours, Rodas3", ms[0], ours, exact);
    report("CVODE, BDF, banded", ms[1], outcome, exact);
    std::printf("ratio CVODE/ours %.1f\n", ms[1] / ms[0]);
    return;
  }
  std::printf("CVODE: no tolerance of the list is as accurate\n");
}
#else
void compare(int repeats, const Outcome& ours, const Outcome& exact) {
  report("ours, Rodas3", medians_ms(repeats, {[] { with_ours({}); }})[0], ours, exact);
  std::printf("CVODE not built in (SUNDIALS not found)\n");
}
#endif

int bench(int repeats) {
  // Against the same shells: the error of time steps; against four times as many: all.
  const Outcome exact = with_ours({.tolerance = 1e-8});
  const Outcome fine = with_ours({.shells = 56, .tolerance = 1e-7});
  const Outcome ours = with_ours({});
  std::printf("24 h drying + 30 h print, 30 layers, %d shells, median of %d\n",
              PackOptions{}.shells, repeats);
  compare(repeats, ours, exact);
  std::printf("ours, error of steps and shells %.1e\n", worst(ours, fine));
  return 0;
}

}  // namespace
}  // namespace drydepth

int main(int argc, char** argv) {
  return drydepth::bench(argc > 1 ? std::max(1, std::atoi(argv[1])) : 51);
}
