#include "spool/fit.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"
#include "base/parallel.h"
#include "moisture/consumption.h"
#include "moisture/pack_state.h"
#include "moisture/winding.h"

namespace drydepth {
namespace {

constexpr double kSecondsPerDay = 86400.0;
// Residuals beyond this many standard deviations are no noise.
constexpr double kSuspectSd = 4.0;

// The scale sees a mean; 8 shells move it by 0.002 % of dry mass, a tenth of what the
// finest scale can tell, at under half the cost.
const PackOptions kCoarse{.shells = 8, .tolerance = 1e-4};

double days_between(const Timeline& timeline, std::size_t k) {
  return seconds_between(timeline.readings.front().at, timeline.readings[k].at) /
         kSecondsPerDay;
}

// The part of a timeline that the readings can know of.
Timeline until_last_reading(const Timeline& timeline) {
  Timeline out = timeline;
  const Instant end = timeline.readings.back().at;
  std::erase_if(out.spans, [&](const Span& s) { return s.from >= end; });
  if (!out.spans.empty() && out.spans.back().to > end) {
    Span& last = out.spans.back();
    const double share =
        seconds_between(last.from, end) / seconds_between(last.from, last.to);
    last.to = end;
    last.used_kg *= share;
    last.used_sd_kg *= std::sqrt(share);
  }
  out.to = end;
  return out;
}

struct Problem {
  const SpoolRecord& record;
  const Material& material;
  const SpoolPriors& priors;
  Timeline timeline;

  Eigen::VectorXd residuals(const Eigen::VectorXd& z) const {
    const Member member = to_member(
        priors.spread, std::span(z.data(), static_cast<std::size_t>(z.size())));
    PackSolver solver = spool_solver(record, material, member, kCoarse);
    const Life life = replay(solver, record, priors, timeline, member);
    Eigen::VectorXd out(static_cast<Eigen::Index>(life.readings.size()));
    for (std::size_t k = 0; k < life.readings.size(); ++k) {
      const double foreseen =
          foreseen_kg(life.readings[k], priors, member, days_between(timeline, k));
      out[static_cast<Eigen::Index>(k)] = (foreseen - timeline.readings[k].gross_kg) /
                                          reading_sd_kg(timeline.readings[k]);
    }
    return out;
  }
};

std::string when(Instant at) { return format_instant(at); }

std::string grams(double kg) { return format_fixed(kg * 1000.0, 1) + " g"; }

// A spool in hot air only loses water: a rise is a mistake.
void suspect_rises(const Timeline& timeline, std::vector<std::string>& out) {
  for (std::size_t k = 1; k < timeline.readings.size(); ++k) {
    const ScaleReading& a = timeline.readings[k - 1];
    const ScaleReading& b = timeline.readings[k];
    const double noise = 3.0 * std::hypot(reading_sd_kg(a), reading_sd_kg(b));
    const bool drying =
        std::any_of(timeline.spans.begin(), timeline.spans.end(), [&](const Span& s) {
          return s.kind == SpanKind::kDrying && s.from <= a.at && b.at <= s.to;
        });
    if (drying && b.gross_kg > a.gross_kg + noise) {
      out.push_back(
          "the reading at " + when(b.at) + " is " + grams(b.gross_kg - a.gross_kg) +
          " above the one before, in a dryer: another spool, the lid or a tag "
          "on the scale, or a drying that had stopped?");
    }
  }
}

void suspect_misfits(const SpoolFit& fit, std::vector<std::string>& out) {
  for (const ReadingFit& r : fit.readings) {
    if (std::abs(r.off) <= kSuspectSd) continue;
    out.push_back(
        "the reading at " + when(r.reading.at) + " (" + grams(r.reading.gross_kg) +
        ") is " + format_fixed(std::abs(r.off), 0) + " standard deviations " +
        (r.off > 0 ? "above" : "below") + " what the rest of the record foresees: " +
        (r.off > 0 ? "another spool, a wrong tare, or a stay in damp air that "
                     "was not logged?"
                   : "use that was not logged, a hot or hasty reading, or "
                     "another spool?"));
  }
}

std::vector<double> mean_at_end(const Problem& problem,
                                const std::vector<Member>& members, unsigned threads) {
  std::vector<double> out(members.size());
  for_each_index(members.size(), threads, [&](std::size_t k) {
    PackSolver solver = spool_solver(problem.record, problem.material, members[k]);
    out[k] = mean_content(solver.model(), replay(solver, problem.record, problem.priors,
                                                 problem.timeline, members[k])
                                              .state);
  });
  return out;
}

void compare_readings(const Problem& problem, const Posterior& posterior,
                      unsigned threads, SpoolFit& fit) {
  const Timeline& timeline = problem.timeline;
  const std::size_t n = timeline.readings.size();
  std::vector<std::vector<double>> foreseen(n, std::vector<double>(fit.members.size()));
  for_each_index(fit.members.size(), threads, [&](std::size_t m) {
    PackSolver solver = spool_solver(problem.record, problem.material, fit.members[m]);
    const Life life =
        replay(solver, problem.record, problem.priors, timeline, fit.members[m]);
    for (std::size_t k = 0; k < n; ++k) {
      foreseen[k][m] = foreseen_kg(life.readings[k], problem.priors, fit.members[m],
                                   days_between(timeline, k));
    }
  });
  const Eigen::VectorXd off = problem.residuals(posterior.peak);
  for (std::size_t k = 0; k < n; ++k) {
    fit.readings.push_back({.reading = timeline.readings[k],
                            .sd_kg = reading_sd_kg(timeline.readings[k]),
                            .foreseen_kg = percentiles(foreseen[k]),
                            .off = -off[static_cast<Eigen::Index>(k)]});
  }
}

}  // namespace

double reading_sd_kg(const ScaleReading& reading) {
  constexpr double kUpdraftKg = 0.3e-3;
  return std::hypot(reading.scale_sd_kg, reading.hot ? kUpdraftKg : 0.0);
}

SpoolFit fit_spool(const SpoolRecord& record, const Material& material,
                   const SpoolPriors& priors, const Timeline& timeline,
                   const PosteriorOptions& options) {
  SpoolFit fit;
  if (timeline.readings.empty()) {
    fit.members = draw_members(priors.spread, options.members, options.seed);
    return fit;
  }
  const Problem problem{record, material, priors, until_last_reading(timeline)};
  const Posterior posterior =
      sample_posterior([&](const Eigen::VectorXd& z) { return problem.residuals(z); },
                       kUnknowns, options);
  for (const std::vector<double>& z : posterior.members) {
    fit.members.push_back(to_member(priors.spread, z));
  }
  fit.effective_draws = posterior.effective_draws;
  fit.accepted = posterior.accepted;
  fit.misfit = posterior.misfit;
  fit.mean_prior = percentiles(mean_at_end(
      problem, draw_members(priors.spread, 32, options.seed), options.threads));
  fit.mean_posterior = percentiles(mean_at_end(problem, fit.members, options.threads));
  compare_readings(problem, posterior, options.threads, fit);
  double least = HUGE_VAL;
  for (const ReadingFit& r : fit.readings) least = std::min(least, r.sd_kg);
  const double net = dry_mass_kg(spool_winding(record, material));
  fit.detectable = 1.96 * std::sqrt(2.0) * least / net;
  suspect_rises(timeline, fit.suspects);
  suspect_misfits(fit, fit.suspects);
  return fit;
}

bool readings_inform(const SpoolFit& fit) {
  if (fit.readings.empty()) return false;
  return fit.mean_posterior.p90 - fit.mean_posterior.p10 <=
         0.5 * (fit.mean_prior.p90 - fit.mean_prior.p10);
}

}  // namespace drydepth
