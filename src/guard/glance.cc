#include "guard/glance.h"

#include <cmath>

#include "base/parallel.h"
#include "moisture/pack_state.h"
#include "spool/fit/fit.h"
#include "spool/fit/tare_doubt.h"

namespace drydepth {
namespace {

constexpr double kSecondsPerDay = 86400.0;
// p90 of a normal, in standard deviations.
constexpr double kP90 = 1.2815515655446004;

// What the scale shows a member at each reading, and how far that leaves it open: a
// tare behind a respool is no unknown of the members, and known from the readings on
// that body before. The spread is the same for all members.
struct Foresight {
  std::vector<double> gross_kg, tare_sd_kg;
};

Foresight foresee(const Spool& spool, const Life& life, const Member& member) {
  const std::vector<ScaleReading>& readings = spool.timeline.readings;
  Foresight out;
  TareDoubt tare(spool.priors);
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const OnTheScale& scale = life.readings[k];
    const double days =
        seconds_between(readings.front().at, readings[k].at) / kSecondsPerDay;
    const double kg = foreseen_kg(scale, spool.priors, member, days);
    const TareError error = tare.known(scale.body);
    out.gross_kg.push_back(kg - error.offset_kg);
    out.tare_sd_kg.push_back(error.sd_kg);
    tare.residual(scale.body,
                  Eigen::RowVectorXd::Constant(1, kg - readings[k].gross_kg),
                  reading_sd_kg(readings[k]));
  }
  return out;
}

// Exact for normals.
Percentiles widened(const Percentiles& p, double sd) {
  return {.p10 = p.p50 - std::hypot(p.p50 - p.p10, kP90 * sd),
          .p50 = p.p50,
          .p90 = p.p50 + std::hypot(p.p90 - p.p50, kP90 * sd)};
}

}  // namespace

Glance glance(const Spool& spool, double limit, const std::vector<Member>& members,
              unsigned threads) {
  std::vector<double> mean(members.size()), depth_kg(members.size());
  std::vector<Foresight> foreseen(members.size());
  for_each_index(members.size(), threads, [&](std::size_t m) {
    PackSolver solver = spool_solver(spool, members[m]);
    const Life life = replay(solver, spool, members[m]);
    mean[m] = mean_content(solver.model(), life.state);
    depth_kg[m] = dry_depth_kg(solver.model(), life.state, limit);
    foreseen[m] = foresee(spool, life, members[m]);
  });
  Glance out{.mean = percentiles(mean), .depth_kg = percentiles(depth_kg)};
  std::vector<double> sample(members.size());
  for (std::size_t k = 0; k < spool.timeline.readings.size(); ++k) {
    for (std::size_t m = 0; m < sample.size(); ++m) sample[m] = foreseen[m].gross_kg[k];
    out.foreseen_kg.push_back(
        widened(percentiles(sample), foreseen.front().tare_sd_kg[k]));
  }
  return out;
}

}  // namespace drydepth
