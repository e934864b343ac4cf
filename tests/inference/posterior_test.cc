#include "inference/posterior.h"

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

// One reading that every unknown bends, none adds to.
MisfitOf bending(double (*residual)(const Eigen::VectorXd&)) {
  return [residual](const Eigen::VectorXd& z) {
    return Misfit{.residual = Eigen::VectorXd::Constant(1, residual(z)),
                  .slope = Eigen::MatrixXd(1, 0)};
  };
}

}  // namespace

TEST_CASE("one reading of one unknown: the product of two normals") {
  // Prior N(0,1), reading 1.0 with sd 0.5: mean 0.8, variance 0.2.
  const MisfitOf misfit =
      bending([](const Eigen::VectorXd& z) { return (z[0] - 1.0) / 0.5; });
  const Posterior p = sample_posterior(misfit, 3, 0, kMany);
  CHECK(p.peak[0] == Approx(0.8).margin(1e-3));
  CHECK(moments(p, 0).mean == Approx(0.8).margin(0.03));
  CHECK(moments(p, 0).sd == Approx(std::sqrt(0.2)).margin(0.03));
  // What the reading does not touch keeps its prior.
  CHECK(moments(p, 1).mean == Approx(0.0).margin(0.07));
  CHECK(moments(p, 1).sd == Approx(1.0).margin(0.06));
}

TEST_CASE("a reading of a sum leaves the difference open") {
  // z0 + z1 = 2 with sd 0.1: each has mean 2/(2.01), the difference sd sqrt(2).
  const MisfitOf misfit =
      bending([](const Eigen::VectorXd& z) { return (z[0] + z[1] - 2.0) / 0.1; });
  const Posterior p = sample_posterior(misfit, 2, 0, kMany);
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
  const MisfitOf misfit =
      bending([](const Eigen::VectorXd& z) { return (z[0] * z[0] - 2.25) / 0.3; });
  double norm = 0, first = 0, second = 0;
  for (double z = 0; z < 4; z += 1e-4) {
    const double w = std::exp(-0.5 * (z * z + std::pow((z * z - 2.25) / 0.3, 2)));
    norm += w;
    first += w * z;
    second += w * z * z;
  }
  const double mean = first / norm, sd = std::sqrt(second / norm - mean * mean);
  const Posterior p = sample_posterior(misfit, 1, 0, kMany);
  double got = 0, square = 0;
  for (const auto& m : p.members) {
    got += std::abs(m[0]) / static_cast<double>(p.members.size());
    square += m[0] * m[0] / static_cast<double>(p.members.size());
  }
  CHECK(got == Approx(mean).margin(0.02));
  CHECK(std::sqrt(square - got * got) == Approx(sd).margin(0.02));
}

TEST_CASE("the same members whatever the threads, others for another seed") {
  const MisfitOf misfit =
      bending([](const Eigen::VectorXd& z) { return std::sin(z[0]) + z[1] - 0.3; });
  PosteriorOptions options{.members = 32, .draws = 64, .steps = 3, .threads = 1};
  const auto one = sample_posterior(misfit, 2, 0, options).members;
  options.threads = 5;
  CHECK(sample_posterior(misfit, 2, 0, options).members == one);
  options.seed = 2;
  CHECK(sample_posterior(misfit, 2, 0, options).members != one);
}

TEST_CASE("an unknown that only adds is as if it had been sampled") {
  // Readings of z0^3/3 + 3 z1 = 2 with sd 0.1 and of z1 = 0.5 with sd 1. By quadrature
  // over both unknowns on a grid.
  const auto misfit = [](const Eigen::VectorXd& z) {
    Misfit out{.residual = Eigen::VectorXd(2), .slope = Eigen::MatrixXd(2, 1)};
    out.residual << (z[0] * z[0] * z[0] / 3.0 - 2.0) / 0.1, -0.5;
    out.slope << 3.0 / 0.1, 1.0;
    return out;
  };
  double norm = 0, first[2]{}, second[2]{};
  for (double a = -4; a < 4; a += 0.002) {
    for (double b = -4; b < 4; b += 0.002) {
      const double r = (a * a * a / 3.0 + 3.0 * b - 2.0) / 0.1, s = b - 0.5;
      const double w = std::exp(-0.5 * (r * r + s * s + a * a + b * b));
      norm += w;
      first[0] += w * a, first[1] += w * b;
      second[0] += w * a * a, second[1] += w * b * b;
    }
  }
  const Posterior p = sample_posterior(misfit, 1, 1, kMany);
  for (const std::size_t k : {0U, 1U}) {
    INFO("unknown " << k);
    const double mean = first[k] / norm;
    const double sd = std::sqrt(second[k] / norm - mean * mean);
    CHECK(moments(p, k).mean == Approx(mean).margin(0.06 * sd));
    CHECK(moments(p, k).sd == Approx(sd).epsilon(0.05));
  }
}

TEST_CASE("a reading that cannot be leaves the members within reason") {
  // A reading of z0 at 1000 with sd 0.01 drags the peak as far as is believed at all.
  const MisfitOf misfit = bending([](const Eigen::VectorXd& z) {
    CHECK(z.cwiseAbs().maxCoeff() <= 8.0);
    return (z[0] - 1000.0) / 0.01;
  });
  const Posterior p = sample_posterior(misfit, 2, 0, {.draws = 400, .threads = 1});
  for (const auto& m : p.members) {
    CHECK(std::isfinite(m[0]));
    CHECK(std::abs(m[1]) <= 8.0);
  }
}
