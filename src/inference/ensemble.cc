#include "inference/ensemble.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <numeric>

#include "inference/random.h"

namespace drydepth {
namespace {

// Quantiles of the strata's middles (k + 1/2)/count, shuffled (Durstenfeld 1964,
// Commun. ACM 7, 420). The bias of the remainder is below count/2^64.
std::vector<double> stratified_normals(std::size_t count, std::uint64_t& state) {
  std::vector<double> out(count);
  for (std::size_t k = 0; k < count; ++k) {
    out[k] =
        normal_quantile((static_cast<double>(k) + 0.5) / static_cast<double>(count));
  }
  for (std::size_t k = count; k > 1; --k)
    std::swap(out[k - 1], out[next_random(state) % k]);
  return out;
}

// Rank share (n - 1), counted from 0 (Hyndman and Fan 1996, definition 7).
double at_rank(const std::vector<double>& sorted, double share) {
  const double rank = share * static_cast<double>(sorted.size() - 1);
  const auto low = static_cast<std::size_t>(rank);
  const double part = rank - static_cast<double>(low);
  if (part <= 0) return sorted[low];
  const double a = sorted[low], b = sorted[low + 1];
  if (!std::isfinite(a) || !std::isfinite(b)) return part < 0.5 ? a : b;
  return a + (b - a) * part;
}

}  // namespace

double normal_quantile(double p) {
  assert(p > 0 && p < 1);
  if (p > 0.5) return -normal_quantile(1.0 - p);
  // From 0 the iterates approach from one side, since Phi is convex below 0; about
  // x*x/2 of them, 700 at p = 1e-300 (derived).
  double x = 0.0;
  for (int i = 0; i < 1000; ++i) {
    // Newton's step on Phi(x) = erfc(-x/sqrt 2)/2, with Phi' = exp(-x^2/2)/sqrt(2 pi).
    const double phi = 0.5 * std::erfc(-x / std::numbers::sqrt2);
    const double density = std::exp(-x * x / 2.0) / std::sqrt(2.0 * std::numbers::pi);
    const double step = (phi - p) / density;
    x -= step;
    if (std::abs(step) <= 1e-15 * std::max(1.0, std::abs(x))) break;
  }
  return x;
}

Member to_member(const Priors& priors, std::span<const double> z) {
  assert(z.size() == kUnknowns.size());
  Member out;
  for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
    const double moved = priors.*kUnknowns[u].spread * z[u];
    double& value = out.*kUnknowns[u].value;
    switch (kUnknowns[u].acts) {
      case Acts::kFactor:
        value = std::exp(moved);
        break;
      case Acts::kOffset:
        value = moved;
        break;
      case Acts::kShare:
        value = 1.0 + moved;
        break;
    }
  }
  return out;
}

Normals to_normals(const Priors& priors, const Member& member) {
  Normals out{};
  for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
    const double spread = priors.*kUnknowns[u].spread;
    const double value = member.*kUnknowns[u].value;
    const double moved = kUnknowns[u].acts == Acts::kFactor  ? std::log(value)
                         : kUnknowns[u].acts == Acts::kShare ? value - 1.0
                                                             : value;
    out[u] = spread > 0 ? moved / spread : 0.0;
  }
  return out;
}

std::vector<std::vector<double>> hypercube(std::size_t count, std::size_t unknowns,
                                           std::uint64_t seed) {
  std::vector<std::vector<double>> out(count, std::vector<double>(unknowns));
  for (std::size_t u = 0; u < unknowns; ++u) {
    const std::vector<double> z = stratified_normals(count, seed);
    for (std::size_t k = 0; k < count; ++k) out[k][u] = z[k];
  }
  return out;
}

std::vector<Member> draw_members(const Priors& priors, std::size_t count,
                                 std::uint64_t seed) {
  std::vector<Member> members;
  for (const auto& z : hypercube(count, kUnknowns.size(), seed)) {
    members.push_back(to_member(priors, z));
  }
  return members;
}

Percentiles percentiles(std::span<const double> sample) {
  assert(!sample.empty());
  std::vector<double> sorted(sample.begin(), sample.end());
  std::sort(sorted.begin(), sorted.end());
  return {at_rank(sorted, 0.1), at_rank(sorted, 0.5), at_rank(sorted, 0.9)};
}

}  // namespace drydepth
