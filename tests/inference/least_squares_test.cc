#include "inference/least_squares.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace drydepth;

TEST_CASE("a linear problem ends where the normal equations do") {
  const auto residuals = [](const Eigen::VectorXd& x) {
    return Eigen::Vector3d(x[0] - 1.0, x[1] + 2.0, x[0] + x[1]).eval();
  };
  const auto fit = least_squares(residuals, Eigen::Vector2d(10, 10));
  // J'J x = J'b: [2 1; 1 2] x = [1; -2] gives x = (4/3, -5/3).
  CHECK(fit.x[0] == Approx(4.0 / 3.0).epsilon(1e-8));
  CHECK(fit.x[1] == Approx(-5.0 / 3.0).epsilon(1e-8));
  CHECK(fit.cost == Approx(1.0 / 3.0).epsilon(1e-8));
}

TEST_CASE("residuals that are not finite only shorten the step") {
  const auto residuals = [](const Eigen::VectorXd& x) {
    return Eigen::VectorXd::Constant(1, std::sqrt(x[0]) - 0.1).eval();
  };
  const auto fit = least_squares(residuals, Eigen::VectorXd::Constant(1, 4.0));
  CHECK(fit.x[0] == Approx(0.01).epsilon(1e-6));
}
