#include "spool/fit/fit.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/numbers.h"
#include "base/parallel.h"
#include "inference/posterior.h"
#include "moisture/consumption.h"
#include "moisture/pack_state.h"
#include "moisture/winding.h"
#include "spool/fit/evidence_fit.h"
#include "spool/fit/tare_doubt.h"
#include "spool/replay.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

constexpr double kSecondsPerDay = 86400.0;
// Residuals beyond this many standard deviations are no noise.
constexpr double kSuspectSd = 4.0;

// The scale sees a mean; 8 shells move it by 0.002 % of dry mass, a tenth of what the
// finest scale can tell, at under half the cost. The outermost wraps it moves by up to
// 0.02 %, a third of what a piece tells.
const PackOptions kCoarse{.shells = 8, .tolerance = 1e-4};

double days_between(const Timeline& timeline, std::size_t k) {
  return seconds_between(timeline.readings.front().at, timeline.readings[k].at) /
         kSecondsPerDay;
}

// What foreseen_kg() gains for a standard deviation of each additive unknown.
Eigen::RowVector4d additive_slope(const SpoolPriors& priors, const OnTheScale& scale,
                                  double days) {
  const Priors& p = priors.spread;
  // A heavier body holds more water of its own. The tare of a later one is
  // TareDoubt's.
  const double water = priors.tare_kg > 0 ? scale.body_water_kg / priors.tare_kg : 0.0;
  const double tare = scale.body == 0 ? p.tare_kg * (1.0 + water) : 0.0;
  return {p.dry_mass * scale.dry_kg * (1.0 + scale.content), tare,
          -p.used * scale.used_sd_kg, p.scale_drift_kg_day * days};
}

Misfit misfit_of(const Spool& spool, const Eigen::VectorXd& bending) {
  const Timeline& timeline = spool.timeline;
  Normals z{};
  std::copy(bending.begin(), bending.end(), z.begin());
  const Member member = to_member(spool.priors.spread, z);
  PackSolver solver = spool_solver(spool, member, kCoarse);
  const Life life = replay(solver, spool, member);
  const std::vector<double> found =
      evidence_residuals(timeline.evidence, life.outer, solver.model().polymer);
  const auto n = static_cast<Eigen::Index>(life.readings.size());
  const auto more = static_cast<Eigen::Index>(found.size());
  // What is found on the outer wraps has nothing to do with the scale's unknowns.
  Misfit out{.residual = Eigen::VectorXd(n + more),
             .slope = Eigen::MatrixXd::Zero(n + more, kAdditive)};
  out.residual.tail(more) = Eigen::Map<const Eigen::VectorXd>(found.data(), more);
  TareDoubt tare(spool.priors);
  for (Eigen::Index k = 0; k < n; ++k) {
    const auto at = static_cast<std::size_t>(k);
    const ScaleReading& reading = timeline.readings[at];
    const double days = days_between(timeline, at);
    const OnTheScale& scale = life.readings[at];
    Eigen::RowVectorXd row(1 + kAdditive);
    row << foreseen_kg(scale, spool.priors, member, days) - reading.gross_kg,
        additive_slope(spool.priors, scale, days);
    row = tare.residual(scale.body, row, reading_sd_kg(reading));
    out.residual[k] = row[0];
    out.slope.row(k) = row.tail(kAdditive);
  }
  return out;
}

std::string when(Instant at) { return format_instant(at); }

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
          "the reading at " + when(b.at) + " is " + mass_text(b.gross_kg - a.gross_kg) +
          " above the one before, in a dryer: another spool, the lid or a tag "
          "on the scale, or a drying that had stopped?");
    }
  }
}

void suspect_misfits(const SpoolFit& fit, std::vector<std::string>& out) {
  for (const ReadingFit& r : fit.readings) {
    if (std::abs(r.off) <= kSuspectSd) continue;
    out.push_back(
        "the reading at " + when(r.reading.at) + " (" + mass_text(r.reading.gross_kg) +
        ") is " + format_fixed(std::abs(r.off), 0) + " standard deviations " +
        (r.off > 0 ? "above" : "below") + " what the rest of the record foresees: " +
        (r.off > 0 ? "another spool, a wrong tare, or a stay in damp air that "
                     "was not logged?"
                   : "use that was not logged, a hot or hasty reading, or "
                     "another spool?"));
  }
}

// What members foresee: a row a reading, a row a finding, and the mean moisture at the
// last of them.
struct Foreseen {
  std::vector<std::vector<double>> gross_kg;
  OuterContents outer;
  std::vector<double> mean;
};

Foreseen foresee(const Spool& spool, const std::vector<Member>& members,
                 unsigned threads) {
  const std::size_t n = spool.timeline.readings.size();
  Foreseen out{.gross_kg = std::vector(n, std::vector<double>(members.size())),
               .outer = OuterContents(spool.timeline.evidence.size(),
                                      std::vector<double>(members.size())),
               .mean = std::vector<double>(members.size())};
  for_each_index(members.size(), threads, [&](std::size_t m) {
    PackSolver solver = spool_solver(spool, members[m]);
    const Life life = replay(solver, spool, members[m]);
    out.mean[m] = mean_content(solver.model(), life.state);
    for (std::size_t k = 0; k < out.outer.size(); ++k) out.outer[k][m] = life.outer[k];
    for (std::size_t k = 0; k < n; ++k) {
      out.gross_kg[k][m] = foreseen_kg(life.readings[k], spool.priors, members[m],
                                       days_between(spool.timeline, k));
    }
  });
  return out;
}

// Each reading and finding against the members, and against the peak.
void compare(const Spool& spool, const Eigen::VectorXd& peak, const Foreseen& foreseen,
             SpoolFit& fit) {
  const Timeline& timeline = spool.timeline;
  const Misfit at_peak = misfit_of(spool, peak.head<kBending>());
  const Eigen::VectorXd off = at_peak.residual + at_peak.slope * peak.tail<kAdditive>();
  const std::size_t n = timeline.readings.size();
  for (std::size_t k = 0; k < n; ++k) {
    fit.readings.push_back({.reading = timeline.readings[k],
                            .sd_kg = reading_sd_kg(timeline.readings[k]),
                            .foreseen_kg = percentiles(foreseen.gross_kg[k]),
                            .off = -off[static_cast<Eigen::Index>(k)]});
  }
  const auto more = static_cast<std::size_t>(off.size()) - n;
  fit.evidence =
      compare_evidence(timeline.evidence, foreseen.outer, to_polymer(spool.material),
                       std::span(off.data() + n, more));
}

// Coarsely, since only a range is shown of it.
PosteriorOptions without_findings(PosteriorOptions options) {
  options.members = std::min<std::size_t>(options.members, 48);
  options.draws /= 2;
  options.steps /= 2;
  return options;
}

// What was foreseen of the findings before they were made: from the readings alone.
void foresee_evidence(const Spool& spool, const PosteriorOptions& options,
                      SpoolFit& fit) {
  const std::vector<OuterEvidence>& evidence = spool.timeline.evidence;
  Spool before = spool;
  before.timeline.evidence = unlearned(evidence);
  const std::vector<Member> members =
      fit_spool(before, without_findings(options)).members;
  note_foreseen(evidence, foresee(spool, members, options.threads).outer, fit.evidence);
}

}  // namespace

std::uint64_t fit_steps(const Timeline& timeline, const PosteriorOptions& options) {
  if (!anything_to_fit(timeline)) return 0;
  const auto calls = [](const PosteriorOptions& o) {
    return o.draws + o.members * static_cast<std::uint64_t>(o.steps + 1);
  };
  return calls(options) +
         (tells(timeline.evidence) ? calls(without_findings(options)) : 0);
}

double reading_sd_kg(const ScaleReading& reading) {
  return std::hypot(reading.scale_sd_kg, reading.hot ? kUpdraftKg : 0.0);
}

SpoolFit fit_spool(const Spool& spool, const PosteriorOptions& options) {
  const Timeline& timeline = spool.timeline;
  const Priors& priors = spool.priors.spread;
  SpoolFit fit;
  if (!anything_to_fit(timeline)) {
    fit.members = draw_members(priors, options.members, options.seed);
    return fit;
  }
  Spool known = spool;
  known.timeline = known_part(spool.timeline);
  const auto misfit = [&](const Eigen::VectorXd& z) {
    count(options.tally);
    return misfit_of(known, z);
  };
  const Posterior posterior = sample_posterior(misfit, kBending, kAdditive, options);
  for (const std::vector<double>& z : posterior.members) {
    fit.members.push_back(to_member(priors, z));
  }
  fit.effective_draws = posterior.effective_draws;
  fit.accepted = posterior.accepted;
  fit.misfit = posterior.misfit;
  const std::vector<Member> before = draw_members(priors, 32, options.seed);
  fit.mean_prior = percentiles(foresee(known, before, options.threads).mean);
  const Foreseen foreseen = foresee(known, fit.members, options.threads);
  fit.mean_posterior = percentiles(foreseen.mean);
  compare(known, posterior.peak, foreseen, fit);
  if (tells(timeline.evidence)) foresee_evidence(known, options, fit);
  double least = HUGE_VAL;
  for (const ReadingFit& r : fit.readings) least = std::min(least, r.sd_kg);
  const double net = dry_mass_kg(spool_winding(spool.record, spool.material));
  if (!fit.readings.empty()) fit.detectable = 1.96 * std::sqrt(2.0) * least / net;
  suspect_rises(timeline, fit.suspects);
  suspect_misfits(fit, fit.suspects);
  suspect_pieces(fit.evidence, kSuspectSd, fit.suspects);
  return fit;
}

bool anything_to_fit(const Timeline& timeline) {
  return last_learned(timeline).has_value();
}

}  // namespace drydepth
