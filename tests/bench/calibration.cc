// Simulation study of the fit: spools drawn from the priors, weighed with noise,
// fitted, and held against what they really were. Prints the median error of the mean
// moisture, how often the 80 % ranges hold the truth (mean and dry depth), rank
// histograms, and the same error of one exponential through the same readings.
//
//   calibration [spools = 200] [readings = 12] [scale_g = 0.1] [hours = 12]
//               [hot | cooled]
//
// Truths run on a finer grid than the fit uses (28 shells, a tenth of the tolerance).
// "cooled" stands for readings after a rest in a closed bag: the scale's own noise
// alone; the study takes no time for it.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "inference/exponential.h"
#include "inference/random.h"
#include "moisture/consumption.h"
#include "moisture/pack_state.h"
#include "spool/fit/fit.h"
#include "spool/lay_out.h"
#include "spool/replay.h"

using namespace drydepth;

namespace {

constexpr double kLimit = 0.005;

Spool make_study(int readings, double scale_kg, double hours, bool hot) {
  const char* text = R"({"format": "drydepth-spool/1", "id": "S", "material": "pa6",
    "filament": {"diameter_mm": 1.75},
    "winding": {"hub_diameter_mm": 80, "width_mm": 55, "outer_diameter_mm": 185,
                "full_net_g": 978, "full_net_sd_g": 15},
    "body": {"kind": "pc", "tare_g": 214, "tare_sd_g": 3},
    "opened": {"at": "2026-03-01T00:00:00Z", "temperature_c": 23,
               "moisture_percent": 2.5, "moisture_sd_percent": 0.6}, "events": []})";
  Spool s = *match_rules(*read_record(text, "S.json"), *load_rules(), Instant{});
  const Instant start = *parse_instant("2026-03-01T00:00:00Z");
  const Instant end = start + Seconds(static_cast<long long>(hours * 3600));
  Span drying;
  drying.from = start;
  drying.to = end;
  drying.kind = SpanKind::kDrying;
  drying.air = HeaterAir{355.15, StatedAir{296.15, 0.45}, {}, {}};
  s.timeline.from = start;
  s.timeline.to = end;
  s.timeline.spans = {drying};
  for (int k = 0; k < readings; ++k) {
    ScaleReading r;
    r.at = start + Seconds(static_cast<long long>(hours * 3600 * (k + 1) / readings));
    r.scale_sd_kg = scale_kg;
    r.hot = hot;
    s.timeline.readings.push_back(r);
  }
  return s;
}

struct Outcome {
  double mean_error = 0, exponential_error = NAN;
  bool mean_held = false, depth_held = false;
  int rank = 0, depth_rank = 0;
  double effective = 0, misfit = 0, accepted = 0;
};

// Tenth of the sample in which a truth falls; among equals (a depth of nothing, or of
// the whole spool) by lot, so that ties do not heap up.
int tenth_of(const std::vector<double>& sample, double value, std::uint64_t& seed) {
  double below = 0, equal = 1;
  for (const double s : sample) {
    below += s < value;
    equal += s == value;
  }
  const double rank = below + equal * next_uniform(seed);
  return std::min(
      9, static_cast<int>(10.0 * rank / (1.0 + static_cast<double>(sample.size()))));
}

Outcome try_spool(Spool s, std::uint64_t seed, const PosteriorOptions& options) {
  Normals z{};
  for (double& v : z) v = normal_quantile(next_uniform(seed));
  const Member truth = to_member(s.priors.spread, z);
  PackSolver fine = spool_solver(s, truth, {.shells = 28, .tolerance = 1e-5});
  const Life life = replay(fine, s, truth);
  const double mean = mean_content(fine.model(), life.state);
  const double depth = dry_depth_kg(fine.model(), life.state, kLimit);
  std::vector<double> hours, gross;
  for (std::size_t k = 0; k < s.timeline.readings.size(); ++k) {
    ScaleReading& r = s.timeline.readings[k];
    const double days = seconds_between(s.timeline.readings.front().at, r.at) / 86400.0;
    r.gross_kg = foreseen_kg(life.readings[k], s.priors, truth, days) +
                 reading_sd_kg(r) * normal_quantile(next_uniform(seed));
    hours.push_back(seconds_between(s.timeline.from, r.at) / 3600.0);
    gross.push_back(r.gross_kg);
  }
  const SpoolFit fit = fit_spool(s, options);
  std::vector<double> means, depths;
  for (const Member& m : fit.members) {
    PackSolver solver = spool_solver(s, m);
    const PackState end = replay(solver, s, m).state;
    means.push_back(mean_content(solver.model(), end));
    depths.push_back(dry_depth_kg(solver.model(), end, kLimit));
  }
  Outcome out;
  const Percentiles p = percentiles(means), d = percentiles(depths);
  out.mean_error = std::abs(p.p50 - mean);
  out.mean_held = p.p10 <= mean && mean <= p.p90;
  out.depth_held = d.p10 <= depth && depth <= d.p90;
  out.rank = tenth_of(means, mean, seed);
  out.depth_rank = tenth_of(depths, depth, seed);
  out.effective = fit.effective_draws;
  out.misfit = fit.misfit;
  out.accepted = fit.accepted;
  if (hours.size() >= 4) {
    const ExponentialFit e = fit_exponential(hours, gross, ExponentialForm::kFree);
    const double net = e.asymptote - s.priors.tare_kg;
    out.exponential_error =
        std::abs(e.amplitude * std::exp(-e.rate * hours.back()) / net - mean);
  }
  return out;
}

double median(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v.empty() ? NAN : v[v.size() / 2];
}

}  // namespace

int main(int argc, char** argv) {
  const int spools = argc > 1 ? std::atoi(argv[1]) : 200;
  const int readings = argc > 2 ? std::atoi(argv[2]) : 12;
  const double scale_g = argc > 3 ? std::atof(argv[3]) : 0.1;
  const double hours = argc > 4 ? std::atof(argv[4]) : 12;
  const bool hot = argc <= 5 || std::string_view(argv[5]) != "cooled";
  const PosteriorOptions options;
  const Spool study = make_study(readings, scale_g / 1000.0, hours, hot);
  std::vector<double> error, exponential;
  std::array<int, 10> ranks{}, depth_ranks{};
  double effective = 0, misfit = 0, accepted = 0;
  int mean_held = 0, depth_held = 0;
  for (int k = 0; k < spools; ++k) {
    const Outcome o = try_spool(study, 1000U + static_cast<unsigned>(k), options);
    error.push_back(o.mean_error * 100.0);
    if (std::isfinite(o.exponential_error)) {
      exponential.push_back(o.exponential_error * 100.0);
    }
    mean_held += o.mean_held;
    depth_held += o.depth_held;
    ++ranks[static_cast<std::size_t>(o.rank)];
    ++depth_ranks[static_cast<std::size_t>(o.depth_rank)];
    effective += o.effective / spools;
    misfit += o.misfit / spools;
    accepted += o.accepted / spools;
  }
  std::printf("%d spools, %d %s readings over %g h, %g g scale\n", spools, readings,
              hot ? "hot" : "cooled", hours, scale_g);
  std::printf(
      "median error of the mean: %.3f %% of dry mass; one exponential: %.3f %%\n",
      median(error), median(exponential));
  std::printf("80 %% ranges hold the mean in %.0f %%, the dry depth in %.0f %%\n",
              100.0 * mean_held / spools, 100.0 * depth_held / spools);
  std::printf("ranks of the truth among the members, tenths:");
  for (const int r : ranks) std::printf(" %d", r);
  std::printf("\nof the dry depth:");
  for (const int r : depth_ranks) std::printf(" %d", r);
  std::printf("\neffective draws %.1f, misfit at the peak %.1f, accepted %.2f\n",
              effective, misfit, accepted);
}
