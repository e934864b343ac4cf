#include "inference/spread_shares.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <numeric>

namespace drydepth {
namespace {

using Columns = std::vector<std::vector<double>>;

// A column that others explain to this share of its variance adds nothing but rounding.
constexpr double kCollinear = 1e-9;

// Pearson's correlations of columns; of ranks they are Spearman's. Those of a column
// that does not vary are 0.
Columns correlations(const Columns& columns) {
  const std::size_t count = columns.front().size();
  Columns z = columns;
  for (std::vector<double>& column : z) {
    const double mean =
        std::accumulate(column.begin(), column.end(), 0.0) / static_cast<double>(count);
    double square = 0;
    for (double& v : column) square += (v - mean) * (v - mean);
    const double scale = square > 0 ? 1.0 / std::sqrt(square) : 0.0;
    for (double& v : column) v = (v - mean) * scale;
  }
  Columns out(z.size(), std::vector<double>(z.size()));
  for (std::size_t a = 0; a < z.size(); ++a) {
    for (std::size_t b = 0; b < z.size(); ++b) {
      out[a][b] = std::inner_product(z[a].begin(), z[a].end(), z[b].begin(), 0.0);
    }
  }
  return out;
}

// R squared of every subset of the inputs, by its bits, adjusted for their number. The
// target is the last column. Walks the tree of "with the next input or without": to
// take an input in is to sweep it out of the columns behind it, so that a subset costs
// little more than its last input (sweep operator: Goodnight 1979, Am. Stat. 33, 149).
class Subsets {
 public:
  Subsets(std::size_t inputs, std::size_t members)
      : inputs_(inputs),
        freedom_(static_cast<double>(members) - 1.0),
        value_(std::size_t{1} << inputs) {}

  void walk(const Columns& left, std::size_t next, std::size_t taken, int columns,
            double explained) {
    if (next == inputs_) {
      // Adjusted R squared, 1 - (1 - R^2)(n - 1)/(n - 1 - p). Test: spread_shares,
      // "columns of noise explain nothing on average".
      value_[taken] = 1.0 - (1.0 - explained) * freedom_ / (freedom_ - columns);
      return;
    }
    walk(left, next + 1, taken, columns, explained);
    const std::size_t with = taken | (std::size_t{1} << next);
    const double own = left[next][next], to_target = left[next][inputs_];
    if (own <= kCollinear) {
      walk(left, next + 1, with, columns, explained);
      return;
    }
    Columns swept = left;
    for (std::size_t a = next + 1; a <= inputs_; ++a) {
      for (std::size_t b = next + 1; b <= inputs_; ++b) {
        swept[a][b] -= left[a][next] * left[next][b] / own;
      }
    }
    walk(swept, next + 1, with, columns + 1, explained + to_target * to_target / own);
  }

  double value(std::size_t subset) const { return value_[subset]; }

 private:
  std::size_t inputs_;
  double freedom_;
  std::vector<double> value_;
};

// Shapley's value of each input: the mean over all orders of what it adds (Shapley
// 1953; of R squared: Lindeman, Merenda, Gold 1980). Test: spread_shares, "two inputs
// that hang together share as the closed form", "an input twice shares what it had".
std::vector<double> shapley(const Subsets& subsets, std::size_t inputs) {
  // 1/(n C(n-1, k)): the share of orders in which exactly a given k come before.
  std::vector<double> weight(inputs);
  double choose = 1;
  for (std::size_t k = 0; k < inputs; ++k) {
    weight[k] = 1.0 / (static_cast<double>(inputs) * choose);
    choose *= static_cast<double>(inputs - 1 - k) / static_cast<double>(k + 1);
  }
  std::vector<double> out(inputs);
  for (std::size_t subset = 0; subset < std::size_t{1} << inputs; ++subset) {
    const auto known = static_cast<std::size_t>(std::popcount(subset));
    for (std::size_t i = 0; i < inputs; ++i) {
      const std::size_t bit = std::size_t{1} << i;
      if ((subset & bit) != 0) continue;
      out[i] += weight[known] * (subsets.value(subset | bit) - subsets.value(subset));
    }
  }
  return out;
}

struct Shares {
  std::vector<double> share, correlation;
  double explained = 0;
};

// The target is the last column.
Shares shares_of(const Columns& columns) {
  Columns ranked;
  for (const std::vector<double>& column : columns) ranked.push_back(ranks(column));
  const Columns r = correlations(ranked);
  const std::size_t inputs = columns.size() - 1;
  Subsets subsets(inputs, columns.front().size());
  subsets.walk(r, 0, 0, 0, 0.0);
  Shares out{.share = shapley(subsets, inputs),
             .correlation = r.back(),
             .explained = subsets.value((std::size_t{1} << inputs) - 1)};
  return out;
}

// Delete-a-group jackknife: sd^2 = (G - 1)/G sum (share without g - their mean)^2 (Kott
// 2001, J. Off. Stat. 17, 521). Test: spread_shares, "columns of noise explain nothing
// on average", within 60 %.
std::vector<double> jackknife(const Columns& columns, std::size_t groups) {
  const std::size_t inputs = columns.size() - 1;
  Columns without(inputs);  // share by input and group
  for (std::size_t g = 0; g < groups; ++g) {
    Columns fewer(columns.size());
    for (std::size_t c = 0; c < columns.size(); ++c) {
      for (std::size_t k = 0; k < columns[c].size(); ++k) {
        if (k % groups != g) fewer[c].push_back(columns[c][k]);
      }
    }
    const Shares s = shares_of(fewer);
    for (std::size_t i = 0; i < inputs; ++i) without[i].push_back(s.share[i]);
  }
  const double n = static_cast<double>(groups);
  std::vector<double> out;
  for (const std::vector<double>& shares : without) {
    const double mean = std::accumulate(shares.begin(), shares.end(), 0.0) / n;
    double square = 0;
    for (const double s : shares) square += (s - mean) * (s - mean);
    out.push_back(std::sqrt((n - 1.0) / n * square));
  }
  return out;
}

}  // namespace

std::vector<double> ranks(std::span<const double> sample) {
  std::vector<std::size_t> order(sample.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return sample[a] < sample[b]; });
  std::vector<double> out(sample.size());
  for (std::size_t first = 0; first < order.size();) {
    std::size_t last = first;
    while (last + 1 < order.size() && sample[order[last + 1]] == sample[order[first]]) {
      ++last;
    }
    const double shared = 1.0 + static_cast<double>(first + last) / 2.0;
    for (; first <= last; ++first) out[order[first]] = shared;
  }
  return out;
}

std::optional<SpreadShares> spread_shares(
    const std::vector<std::vector<double>>& inputs, std::span<const double> target) {
  assert(inputs.size() <= 16);
  const auto [least, most] = std::minmax_element(target.begin(), target.end());
  const bool varies = !target.empty() && *least < *most;
  if (!varies || inputs.empty() || target.size() < 3 * inputs.size()) {
    return std::nullopt;
  }
  Columns columns = inputs;
  columns.emplace_back(target.begin(), target.end());
  const Shares s = shares_of(columns);
  SpreadShares out{
      .share = s.share,
      .share_sd = jackknife(columns, std::min<std::size_t>(16, target.size())),
      .known_narrows = {},
      .unexplained = 1.0 - s.explained};
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    // Residual standard deviation of a straight line in ranks: sqrt(1 - r^2).
    const double square = s.correlation[i] * s.correlation[i];
    out.known_narrows.push_back(1.0 - std::sqrt(std::max(0.0, 1.0 - square)));
  }
  return out;
}

}  // namespace drydepth
