#include "inference/spread_shares.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "inference/ensemble.h"

using namespace drydepth;

namespace {

using Columns = std::vector<std::vector<double>>;

std::vector<double> weighted(const Columns& x, const std::vector<double>& weight) {
  std::vector<double> out(x.front().size(), 0.0);
  for (std::size_t i = 0; i < x.size(); ++i) {
    for (std::size_t k = 0; k < out.size(); ++k) out[k] += weight[i] * x[i][k];
  }
  return out;
}

// Standard normals, a column an input.
Columns normals(std::size_t inputs, std::size_t members) {
  Columns out(inputs);
  for (const auto& row : hypercube(members, inputs, 7)) {
    for (std::size_t i = 0; i < inputs; ++i) out[i].push_back(row[i]);
  }
  return out;
}

// Spearman's over Pearson's correlation of a bivariate normal: (6/pi) asin(r/2).
double of_ranks(double r) { return 6.0 / 3.141592653589793 * std::asin(r / 2.0); }

double sum(const std::vector<double>& v) {
  return std::accumulate(v.begin(), v.end(), 0.0);
}

}  // namespace

TEST_CASE("ranks") {
  struct Row {
    const char* label;
    std::vector<double> sample, expected;
  };
  const Row rows[] = {
      {"any order", {3, -1, 2}, {3, 1, 2}},
      {"ties share their mean", {0, 5, 0, 0, 7}, {2, 4, 2, 2, 5}},
      {"all the same", {4, 4}, {1.5, 1.5}},
      {"none", {}, {}},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    CHECK(ranks(row.sample) == row.expected);
  }
}

// Independent inputs: each one's share is its own R squared, in ranks (for the values
// themselves it would be its variance's share, the first-order Sobol' index).
TEST_CASE("inputs that do not hang together share as their own R squared") {
  const Columns x = normals(4, 4000);
  const std::vector<double> weight{3, 2, 1, 0};
  const auto s = spread_shares(x, weighted(x, weight));
  REQUIRE(s);
  double left = 1;
  for (std::size_t i = 0; i < 4; ++i) {
    INFO("input " << i);
    const double spearman = of_ranks(weight[i] / std::sqrt(14.0));
    left -= spearman * spearman;
    CHECK(s->share[i] == Approx(spearman * spearman).margin(0.02));
    CHECK(s->known_narrows[i] ==
          Approx(1 - std::sqrt(1 - spearman * spearman)).margin(0.02));
  }
  CHECK(s->unexplained == Approx(left).margin(0.01));
  CHECK(sum(s->share) + s->unexplained == Approx(1).margin(1e-12));
}

// Two normals with correlation r, Y = b1 X1 + b2 X2, var Y = s2:
//   share of X1 = (b1^2 (1 - r^2/2) + r b1 b2 + b2^2 r^2/2)/s2
// Owen and Prieur 2017, SIAM/ASA J. Uncertainty Quantification 5, 986 (the case of two
// inputs; from memory, and by hand: half of what X1 explains alone and half of what it
// adds to X2).
TEST_CASE("two inputs that hang together share as the closed form") {
  struct Row {
    const char* label;
    double r, b1, b2;
  };
  const Row rows[] = {{"alike", 0.5, 1, 1},
                      {"one does nothing itself", 0.8, 1, 0},
                      {"they pull against each other", -0.6, 1, 0.5},
                      {"apart", 0, 2, 1}};
  for (const Row& row : rows) {
    INFO(row.label);
    Columns x = normals(2, 4000);
    for (std::size_t k = 0; k < 4000; ++k) {
      x[1][k] = row.r * x[0][k] + std::sqrt(1 - row.r * row.r) * x[1][k];
    }
    const auto s = spread_shares(x, weighted(x, {row.b1, row.b2}));
    REQUIRE(s);
    const double r2 = row.r * row.r, b1 = row.b1, b2 = row.b2;
    const double s2 = b1 * b1 + b2 * b2 + 2 * row.r * b1 * b2;
    CHECK(s->share[0] ==
          Approx((b1 * b1 * (1 - r2 / 2) + row.r * b1 * b2 + b2 * b2 * r2 / 2) / s2)
              .margin(0.03));
    CHECK(s->share[1] ==
          Approx((b2 * b2 * (1 - r2 / 2) + row.r * b1 * b2 + b1 * b1 * r2 / 2) / s2)
              .margin(0.03));
  }
}

TEST_CASE("any rising function of an input has the same shares") {
  const Columns x = normals(3, 200);
  const std::vector<double> y = weighted(x, {2, 1, 0.5});
  std::vector<double> bent;
  for (const double v : y) bent.push_back(std::exp(3 * v));
  Columns stretched = x;
  for (double& v : stretched[1]) v = v * v * v;
  const auto a = spread_shares(x, y), b = spread_shares(stretched, bent);
  REQUIRE(a);
  REQUIRE(b);
  CHECK(a->share == b->share);
  CHECK(a->unexplained == b->unexplained);
}

TEST_CASE("an input twice shares what it had") {
  Columns x = normals(2, 500);
  const std::vector<double> y = weighted(x, {2, 1});
  const auto once = spread_shares(x, y);
  x.push_back(x[0]);
  const auto twice = spread_shares(x, y);
  REQUIRE(once);
  REQUIRE(twice);
  CHECK(twice->share[0] == Approx(twice->share[2]).margin(1e-12));
  CHECK(twice->share[0] + twice->share[2] == Approx(once->share[0]).margin(0.1));
  CHECK(twice->unexplained == Approx(once->unexplained).margin(1e-3));
}

// Without the adjustment ten columns of noise would explain 10/63 of anything.
TEST_CASE("columns of noise explain nothing on average") {
  const Columns all = normals(11, 64 * 40);
  double explained = 0, square = 0, told_sd = 0;
  for (std::size_t trial = 0; trial < 40; ++trial) {
    Columns x(10);
    const auto cut = [&](const std::vector<double>& column) {
      const auto from = column.begin() + static_cast<std::ptrdiff_t>(64 * trial);
      return std::vector<double>(from, from + 64);
    };
    for (std::size_t i = 0; i < 10; ++i) x[i] = cut(all[i]);
    const auto s = spread_shares(x, cut(all[10]));
    REQUIRE(s);
    explained += (1 - s->unexplained) / 40;
    square += s->share[0] * s->share[0] / 40;
    told_sd += s->share_sd[0] / 40;
  }
  CHECK(std::abs(explained) < 0.03);
  // The jackknife's standard deviation against the one seen over the trials.
  CHECK(told_sd == Approx(std::sqrt(square)).epsilon(0.6));
}

TEST_CASE("what has no spread has no shares") {
  const Columns x = normals(3, 64);
  CHECK_FALSE(spread_shares(x, std::vector<double>(64, 0.2)));
  CHECK_FALSE(spread_shares({}, x[0]));
  CHECK_FALSE(spread_shares(normals(3, 8), normals(1, 8)[0]));
  Columns fixed = x;
  fixed[2].assign(64, 1.0);
  const auto s = spread_shares(fixed, weighted(x, {1, 1, 0}));
  REQUIRE(s);
  CHECK(s->share[2] == 0);
  CHECK(s->known_narrows[2] == 0);
}
