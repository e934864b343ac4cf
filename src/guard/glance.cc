#include "guard/glance.h"

#include "base/parallel.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

constexpr double kSecondsPerDay = 86400.0;

}  // namespace

Glance glance(const Contest& contest, double limit, const std::vector<Member>& members,
              unsigned threads) {
  const std::vector<ScaleReading>& readings = contest.timeline.readings;
  std::vector<double> mean(members.size()), depth_kg(members.size());
  std::vector gross_kg(readings.size(), std::vector<double>(members.size()));
  for_each_index(members.size(), threads, [&](std::size_t m) {
    PackSolver solver = spool_solver(contest.record, contest.material, members[m]);
    const Life life =
        replay(solver, contest.record, contest.priors, contest.timeline, members[m]);
    mean[m] = mean_content(solver.model(), life.state);
    depth_kg[m] = dry_depth_kg(solver.model(), life.state, limit);
    for (std::size_t k = 0; k < readings.size(); ++k) {
      const double days =
          seconds_between(readings.front().at, readings[k].at) / kSecondsPerDay;
      gross_kg[k][m] = foreseen_kg(life.readings[k], contest.priors, members[m], days);
    }
  });
  Glance out{.mean = percentiles(mean), .depth_kg = percentiles(depth_kg)};
  for (const auto& sample : gross_kg) out.foreseen_kg.push_back(percentiles(sample));
  return out;
}

}  // namespace drydepth
