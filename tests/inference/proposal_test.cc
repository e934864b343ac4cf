#include "inference/proposal.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>
#include <cmath>

#include "inference/additive.h"

using namespace drydepth;

namespace {

StudentT narrow_and_tilted() {
  Eigen::MatrixXd covariance(2, 2);
  covariance << 1.0, 0.6, 0.6, 0.5;
  return student_t(Eigen::Vector2d(1.0, -2.0), covariance);
}

}  // namespace

TEST_CASE("the density is that of a t-distribution, up to one constant") {
  // One unknown, 6 degrees of freedom: the density falls as
  // (1 + z^2/6)^-3.5.
  const StudentT unit =
      student_t(Eigen::VectorXd::Zero(1), Eigen::MatrixXd::Identity(1, 1));
  const Eigen::VectorXd zero = Eigen::VectorXd::Zero(1),
                        two = Eigen::VectorXd::Constant(1, 2.0);
  CHECK(log_density(unit, two) - log_density(unit, zero) ==
        Approx(-3.5 * std::log(1.0 + 4.0 / 6.0)));
  // Twice as wide: half as high.
  const StudentT wide = student_t(zero, Eigen::MatrixXd::Constant(1, 1, 4.0));
  CHECK(log_density(wide, zero) - log_density(unit, zero) == Approx(-std::log(2.0)));
  const std::vector<StudentT> both{unit, wide};
  CHECK(log_density(both, zero) - log_density(unit, zero) == Approx(std::log(0.75)));
}

TEST_CASE("draws have the scale's covariance, wider by v/(v - 2)") {
  const StudentT t = narrow_and_tilted();
  std::uint64_t state = 3;
  constexpr int kDraws = 40000;
  Eigen::MatrixXd got = Eigen::MatrixXd::Zero(2, 2);
  for (int k = 0; k < kDraws; ++k) {
    const Eigen::VectorXd off = draw(t, state) - t.mean;
    got += off * off.transpose() / kDraws;
  }
  CHECK(got(0, 0) == Approx(1.5 * 1.0).epsilon(0.05));
  CHECK(got(1, 1) == Approx(1.5 * 0.5).epsilon(0.05));
  CHECK(got(0, 1) == Approx(1.5 * 0.6).epsilon(0.05));
}

TEST_CASE("many equal draws outweigh the proposal they came from") {
  const StudentT t = narrow_and_tilted();
  std::uint64_t state = 9;
  std::vector<Eigen::VectorXd> draws;
  for (int k = 0; k < 20000; ++k) draws.push_back(normals(2, state));
  const std::vector<double> weights(draws.size(),
                                    1.0 / static_cast<double>(draws.size()));
  const StudentT learned = learn(draws, weights, t);
  CHECK(learned.mean.norm() < 0.03);
  const Eigen::MatrixXd covariance = learned.root * learned.root.transpose();
  CHECK(covariance(0, 0) == Approx(1.0).margin(0.05));
  CHECK(covariance(1, 1) == Approx(1.0).margin(0.05));
  CHECK(covariance(0, 1) == Approx(0.0).margin(0.03));
}

TEST_CASE("one lucky draw does not make the next proposal flat") {
  const StudentT t = narrow_and_tilted();
  const std::vector<Eigen::VectorXd> draws{Eigen::Vector2d(0, 0),
                                           Eigen::Vector2d(1, 1)};
  const StudentT learned = learn(draws, std::vector<double>{1.0, 0.0}, t);
  CHECK(learned.mean.norm() == 0.0);
  const Eigen::MatrixXd covariance = learned.root * learned.root.transpose();
  CHECK(covariance(0, 0) == Approx(0.8));  // four draws' worth of five
}
