#pragma once

#include <span>
#include <vector>

namespace drydepth {

/// One exponential with an asymptote, the usual way to read a drying curve:
///   y = asymptote + amplitude exp(-rate x)
/// A spool does not dry like that (see docs/model.md): this is here to be compared
/// with.
struct ExponentialFit {
  double asymptote = 0, amplitude = 0, rate = 0;
  double asymptote_sd = 0, amplitude_sd = 0, rate_sd = 0;
  double squares = 0;      ///< residual sum of squares
  bool converged = false;  ///< false: the data do not bend enough to fix the three
};

enum class ExponentialForm {
  kFree,         ///< three parameters
  kThroughZero,  ///< y(0) = 0: amplitude = -asymptote, two parameters
};

/// Least squares without weights. For each rate the other parameters are linear, so the
/// rate alone is searched (variable projection: Golub and Pereyra 1973, SIAM J. Numer.
/// Anal. 10, 413) and the result polished by least_squares. At least as many points as
/// parameters, x not all equal. Units: those of y, and of 1/x for the rate. Test:
/// exponential, "certified regressions of NIST StRD" (through zero) and "an exponential
/// gives its own parameters back" (free).
ExponentialFit fit_exponential(std::span<const double> x, std::span<const double> y,
                               ExponentialForm form);

}  // namespace drydepth
