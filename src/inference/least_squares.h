#pragma once

#include <Eigen/Core>
#include <functional>

namespace drydepth {

/// Residuals of a nonlinear least-squares problem at x: as many as there are data,
/// each in units of its own standard deviation (or all unweighted).
using Residuals = std::function<Eigen::VectorXd(const Eigen::VectorXd& x)>;

struct LeastSquaresOptions {
  int max_iterations = 200;
  double gradient =
      1e-10;            ///< stops when the largest |J'r| falls below, relative to |r|
  double step = 1e-12;  ///< stops when |dx| <= step (|x| + step)
  double difference = 1e-6;  ///< step of the differences, in units of max(|x|, least)
  double least = 1e-3;
  bool forward = false;  ///< forward differences: half the cost, for smooth models
};

enum class LeastSquaresStatus {
  kGradient,    ///< |J'r| small: a stationary point
  kStep,        ///< |dx| small
  kIterations,  ///< gave up; x is the best found
};

struct LeastSquaresSummary {
  Eigen::VectorXd x;
  Eigen::MatrixXd jacobian;  ///< at x
  double cost = 0;           ///< sum of squares at x
  int iterations = 0;
  LeastSquaresStatus status = LeastSquaresStatus::kIterations;
};

/// Minimises |r(x)|^2 from a start by Levenberg and Marquardt: (J'J + lambda D) dx =
/// -J'r with D the diagonal of J'J (Levenberg 1944; Marquardt 1963; the update of
/// lambda after Nielsen 1999). Derivatives by differences. Residuals that are not
/// finite count as a failed step. Test: least_squares, "a linear problem ends where the
/// normal equations do" and "residuals that are not finite only shorten the step";
/// exponential, "certified regressions of NIST StRD".
LeastSquaresSummary least_squares(const Residuals& residuals, Eigen::VectorXd start,
                                  const LeastSquaresOptions& options = {});

/// Standard deviations of the parameters from a summary of unweighted residuals:
/// sqrt(diag((J'J)^-1) cost/(n - p)), in the parameters' units. Textbook form of the
/// linearised problem. Test: exponential, "certified regressions of NIST StRD".
Eigen::VectorXd standard_deviations(const LeastSquaresSummary& summary);

}  // namespace drydepth
