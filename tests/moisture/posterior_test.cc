#include "moisture/posterior.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace drydepth;

namespace {

struct Moments {
  double mean = 0, sd = 0;
};

Moments moments(const Posterior& p, std::size_t unknown) {
  Moments out;
  const auto n = static_cast<double>(p.members.size());
  for (const auto& m : p.members) out.mean += m[unknown] / n;
  for (const auto& m : p.members) out.sd += std::pow(m[unknown] - out.mean, 2) / n;
  out.sd = std::sqrt(out.sd);
  return out;
}

const PosteriorOptions kMany{.members = 2000, .draws = 8000, .steps = 6, .threads = 2};

}  // namespace

TEST_CASE("one reading of one unknown: the product of two normals") {
  // Prior N(0,1), reading 1.0 with sd 0.5: mean 0.8, variance 0.2.
  const auto residuals = [](const Eigen::VectorXd& z) {
    return Eigen::VectorXd::Constant(1, (z[0] - 1.0) / 0.5).eval();
  };
  const Posterior p = sample_posterior(residuals, 3, kMany);
  CHECK(p.peak[0] == Approx(0.8).margin(1e-3));
  CHECK(moments(p, 0).mean == Approx(0.8).margin(0.03));
  CHECK(moments(p, 0).sd == Approx(std::sqrt(0.2)).margin(0.03));
  // What the reading does not touch keeps its prior.
  CHECK(moments(p, 1).mean == Approx(0.0).margin(0.07));
  CHECK(moments(p, 1).sd == Approx(1.0).margin(0.06));
}

TEST_CASE("a reading of a sum leaves the difference open") {
  // z0 + z1 = 2 with sd 0.1: each has mean 2/(2.01), the difference sd sqrt(2).
  const auto residuals = [](const Eigen::VectorXd& z) {
    return Eigen::VectorXd::Constant(1, (z[0] + z[1] - 2.0) / 0.1).eval();
  };
  const Posterior p = sample_posterior(residuals, 2, kMany);
  double difference = 0;
  for (const auto& m : p.members) {
    difference += std::pow(m[0] - m[1], 2) / static_cast<double>(p.members.size());
    CHECK(std::abs(m[0] + m[1] - 2.0) < 0.6);
  }
  CHECK(std::sqrt(difference) == Approx(std::sqrt(2.0)).margin(0.09));
}

TEST_CASE("a bent posterior is not the Gaussian at its peak") {
  // Reading of z0^2 = 2.25 with sd 0.3: two peaks at +-1.47; a Gaussian sees one. The
  // walk cannot cross, so the share of signs is the proposal's business, the distance
  // from zero is the posterior's. By quadrature: E|z| = 1.425, sd|z| = 0.104.
  const auto residuals = [](const Eigen::VectorXd& z) {
    return Eigen::VectorXd::Constant(1, (z[0] * z[0] - 2.25) / 0.3).eval();
  };
  double norm = 0, first = 0, second = 0;
  for (double z = 0; z < 4; z += 1e-4) {
    const double w = std::exp(-0.5 * (z * z + std::pow((z * z - 2.25) / 0.3, 2)));
    norm += w;
    first += w * z;
    second += w * z * z;
  }
  const double mean = first / norm, sd = std::sqrt(second / norm - mean * mean);
  const Posterior p = sample_posterior(residuals, 1, kMany);
  double got = 0, square = 0;
  for (const auto& m : p.members) {
    got += std::abs(m[0]) / static_cast<double>(p.members.size());
    square += m[0] * m[0] / static_cast<double>(p.members.size());
  }
  CHECK(got == Approx(mean).margin(0.02));
  CHECK(std::sqrt(square - got * got) == Approx(sd).margin(0.02));
}

TEST_CASE("the same members whatever the threads, others for another seed") {
  const auto residuals = [](const Eigen::VectorXd& z) {
    return Eigen::VectorXd::Constant(1, std::sin(z[0]) + z[1] - 0.3).eval();
  };
  PosteriorOptions options{.members = 32, .draws = 64, .steps = 3, .threads = 1};
  const auto one = sample_posterior(residuals, 2, options).members;
  options.threads = 5;
  CHECK(sample_posterior(residuals, 2, options).members == one);
  options.seed = 2;
  CHECK(sample_posterior(residuals, 2, options).members != one);
}
