#pragma once

// Where a spread comes from.
//
// Once weighings have been fitted, the unknowns of an ensemble hang together: a heavier
// tare goes with drier filament. So the spread of an answer does not fall into one part
// an unknown, and a table of one change at a time does not add up to it. Shapley's
// value does: knowing an input takes away some of the spread, how much depends on what
// is known already, and its share is the mean over every order in which the inputs may
// become known. For a linear model of the ranks this is the decomposition of R squared
// by Lindeman, Merenda and Gold (1980, Introduction to Bivariate and Multivariate
// Analysis, p. 119 ff.; Groemping 2007, Am. Stat. 61, 139); for inputs that do not hang
// together it is each one's own R squared, as a first-order Sobol' index. Ranks bend
// what is curved straight and make 0 g, where a depth ends, no outlier (Iman and
// Conover 1979, Technometrics 21, 499).
//
// R squared grows with every column of pure noise, by 1/(n-1) of what is unexplained;
// it is adjusted for that, so that an input that does nothing has a share of 0 on
// average, at the price of small negative ones.

#include <optional>
#include <span>
#include <vector>

namespace drydepth {

/// Ranks from 1; equal values share the mean of theirs, as in Spearman's correlation.
/// No value may be NaN. Test: spread_shares, "ranks".
std::vector<double> ranks(std::span<const double> sample);

struct SpreadShares {
  std::vector<double> share;  ///< of the target's variance in ranks, one an input
  /// Standard deviations of the shares (jackknife over at most 16 groups of members).
  std::vector<double> share_sd;
  /// Narrowing of the target's standard deviation were this input alone known, 0..1.
  std::vector<double> known_narrows;
  double unexplained = 0;  ///< bends and interplay; shares and this sum to 1
};

/// Shares of the inputs (a column each, a value a member) in the spread of the target.
/// An input that does not vary has none. Empty if the target does not vary, or if
/// members are fewer than three an input. At most 16 inputs; time goes as 2^n of them.
/// Sources above. Test: spread_shares, "inputs that do not hang together share as their
/// own R squared", "two inputs that hang together share as the closed form" and "what
/// has no spread has no shares".
std::optional<SpreadShares> spread_shares(
    const std::vector<std::vector<double>>& inputs, std::span<const double> target);

}  // namespace drydepth
