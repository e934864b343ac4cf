#include "inference/additive.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>
#include <cmath>

using namespace drydepth;

namespace {

// Three readings, two additive unknowns; numbers of no meaning.
Misfit example() {
  Misfit out{.residual = Eigen::VectorXd(3), .slope = Eigen::MatrixXd(3, 2)};
  out.residual << 1.5, -0.7, 40.0;
  out.slope << 2.0, 0.3, -1.0, 5.0, 30.0, 0.01;
  return out;
}

}  // namespace

TEST_CASE("what is integrated out is the Gaussian of the readings") {
  // r + S l with l and the noise standard normal: r is normal with covariance I + S S'.
  const Misfit m = example();
  const Eigen::MatrixXd c =
      Eigen::MatrixXd::Identity(3, 3) + m.slope * m.slope.transpose();
  const double square = m.residual.dot(c.inverse() * m.residual);
  const Additive a = integrate_out(m);
  CHECK(a.log_evidence ==
        Approx(-0.5 * square - 0.5 * std::log(c.determinant())).epsilon(1e-12));
  CHECK(a.residual.squaredNorm() == Approx(square).epsilon(1e-12));
  // Conditional mean of a joint Gaussian: -S' C^-1 r.
  const Eigen::VectorXd mean = -m.slope.transpose() * c.inverse() * m.residual;
  CHECK((a.mean - mean).norm() < 1e-12);
}

TEST_CASE("draws have the conditional mean and covariance") {
  // Covariance I - S' C^-1 S; 20000 draws know a standard deviation to 0.5 %.
  const Misfit m = example();
  const Eigen::MatrixXd c =
      Eigen::MatrixXd::Identity(3, 3) + m.slope * m.slope.transpose();
  const Eigen::MatrixXd covariance =
      Eigen::MatrixXd::Identity(2, 2) - m.slope.transpose() * c.inverse() * m.slope;
  const Additive a = integrate_out(m);
  std::uint64_t state = 5;
  Eigen::MatrixXd got = Eigen::MatrixXd::Zero(2, 2);
  Eigen::VectorXd mean = Eigen::VectorXd::Zero(2);
  constexpr int kDraws = 20000;
  for (int k = 0; k < kDraws; ++k) {
    const Eigen::VectorXd off = draw_additive(a, state) - a.mean;
    mean += off / kDraws;
    got += off * off.transpose() / kDraws;
  }
  for (const Eigen::Index k : {0, 1}) {
    const double sd = std::sqrt(covariance(k, k));
    CHECK(std::abs(mean[k]) < 0.03 * sd);
    CHECK(got(k, k) == Approx(covariance(k, k)).epsilon(0.05));
  }
  CHECK(got(0, 1) / std::sqrt(got(0, 0) * got(1, 1)) ==
        Approx(covariance(0, 1) / std::sqrt(covariance(0, 0) * covariance(1, 1)))
            .margin(0.03));
}
