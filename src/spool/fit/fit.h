#pragma once

// From the weighings of a record to an ensemble that agrees with them.
//
// A scale reading is the mean over the whole spool: it fixes how fast the pack lets go
// of water and leaves the strand, and so the outer wraps, more open. What the readings
// do not say the priors keep saying, and the ensemble shows it as width.

#include <optional>
#include <string>
#include <vector>

#include "inference/sampling.h"
#include "spool/spool.h"

namespace drydepth {

/// One reading against what the fitted ensemble foresees.
struct ReadingFit {
  ScaleReading reading{};
  double sd_kg = 0;  ///< of the reading, updraft of a hot spool included
  Percentiles foreseen_kg{};
  double off = 0;  ///< (reading - foreseen at the peak)/sd
};

/// One finding on the outer wraps against what the ensemble foresees of it.
struct EvidenceFit {
  OuterEvidence found{};
  double measured = 0;     ///< of a piece, kg/kg, at central values
  Percentiles foreseen{};  ///< outer content then, from weighings and priors alone
  Percentiles fitted{};    ///< and with all findings
  double off = 0;          ///< of a piece: (measured - foreseen at the peak)/sd
};

struct SpoolFit {
  std::vector<Member> members{};
  std::vector<ReadingFit> readings{};   ///< empty where there was nothing to fit
  std::vector<EvidenceFit> evidence{};  ///< of the findings that tell something
  double effective_draws = 0;
  double accepted = 0;           ///< share of the walk's steps taken
  double misfit = 0;             ///< sum of squares at the peak
  Percentiles mean_prior{};      ///< mean moisture at the end, before the readings
  Percentiles mean_posterior{};  ///< and after
  /// Smallest change of the mean moisture that two readings can tell from nothing (95
  /// %), kg/kg; nothing without readings.
  std::optional<double> detectable{};
  std::vector<std::string> suspects{};  ///< readings that cannot be, one sentence each
};

/// Fits the unknowns to every reading and finding of its timeline and returns
/// `options.members` members. Without any the members are draws from the priors.
/// Deterministic for a record, options and seed.
SpoolFit fit_spool(const Spool& spool, const PosteriorOptions& options);

/// Standard deviation of a reading, kg: the scale's, and 0.3 g more where the spool is
/// hot (updraft; derived).
double reading_sd_kg(const ScaleReading& reading);

/// How many times a fit asks the model, but for the search of its peak, which takes as
/// many as it needs: a few of a hundred.
std::uint64_t fit_steps(const Timeline& timeline, const PosteriorOptions& options);

/// True where there is something to fit to.
bool anything_to_fit(const Timeline& timeline);

}  // namespace drydepth
