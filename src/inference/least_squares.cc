#include "inference/least_squares.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace drydepth {
namespace {

// Columns of J by central differences, error of order h^2, or by forward ones, order h.
Eigen::MatrixXd differences(const Residuals& residuals, const Eigen::VectorXd& x,
                            const Eigen::VectorXd& at_x,
                            const LeastSquaresOptions& options) {
  Eigen::MatrixXd out(at_x.size(), x.size());
  for (Eigen::Index k = 0; k < x.size(); ++k) {
    const double h = options.difference * std::max(std::abs(x[k]), options.least);
    Eigen::VectorXd probe = x;
    probe[k] = x[k] + h;
    const double up = probe[k] - x[k];  // as the machine has it
    const Eigen::VectorXd above = residuals(probe);
    if (options.forward) {
      out.col(k) = (above - at_x) / up;
      continue;
    }
    probe[k] = x[k] - h;
    out.col(k) = (above - residuals(probe)) / (up + (x[k] - probe[k]));
  }
  return out;
}

}  // namespace

LeastSquaresSummary least_squares(const Residuals& residuals, Eigen::VectorXd start,
                                  const LeastSquaresOptions& options) {
  LeastSquaresSummary out;
  out.x = std::move(start);
  Eigen::VectorXd r = residuals(out.x);
  out.cost = r.squaredNorm();
  out.jacobian = differences(residuals, out.x, r, options);
  double lambda = 1.0, growth = 2.0;  // cautious: a start may be far off
  for (; out.iterations < options.max_iterations; ++out.iterations) {
    const Eigen::VectorXd gradient = out.jacobian.transpose() * r;
    if (gradient.lpNorm<Eigen::Infinity>() <= options.gradient * std::sqrt(out.cost)) {
      out.status = LeastSquaresStatus::kGradient;
      return out;
    }
    // (J'J + lambda D) dx = -J'r. D scales each unknown by itself (Marquardt 1963, SIAM
    // J. Appl. Math. 11, 431).
    Eigen::MatrixXd normal = out.jacobian.transpose() * out.jacobian;
    const Eigen::VectorXd diagonal = normal.diagonal().cwiseMax(1e-300);
    normal.diagonal() += lambda * diagonal;
    const Eigen::VectorXd step = normal.ldlt().solve(-gradient);
    if (!step.allFinite() ||
        step.norm() <= options.step * (out.x.norm() + options.step)) {
      out.status = LeastSquaresStatus::kStep;
      return out;
    }
    const Eigen::VectorXd trial = residuals(out.x + step);
    const double cost = trial.allFinite() ? trial.squaredNorm() : HUGE_VAL;
    // Gain: the fall of |r|^2 over that of the linear model, dx'(lambda D dx - J'r).
    // Lambda then follows Nielsen 1999 (Damping parameter in Marquardt's method, IMM,
    // Technical University of Denmark).
    const double foreseen = step.dot(lambda * diagonal.cwiseProduct(step) - gradient);
    const double gain = (out.cost - cost) / foreseen;
    if (gain > 0) {
      out.x += step;
      r = trial;
      out.cost = cost;
      out.jacobian = differences(residuals, out.x, r, options);
      lambda *= std::max(1.0 / 3.0, 1.0 - std::pow(2.0 * gain - 1.0, 3));
      growth = 2.0;
    } else {
      lambda *= growth;
      growth *= 2.0;
    }
  }
  return out;
}

Eigen::VectorXd standard_deviations(const LeastSquaresSummary& summary) {
  // Covariance of a linear model with noise cost/(n - p).
  const auto freedom =
      static_cast<double>(summary.jacobian.rows() - summary.jacobian.cols());
  const Eigen::MatrixXd inverse =
      (summary.jacobian.transpose() * summary.jacobian).inverse();
  return (inverse.diagonal() * (summary.cost / freedom)).cwiseSqrt();
}

}  // namespace drydepth
