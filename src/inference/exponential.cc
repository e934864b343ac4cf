#include "inference/exponential.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cassert>
#include <cmath>

#include "inference/least_squares.h"

namespace drydepth {
namespace {

using Points = Eigen::Map<const Eigen::VectorXd>;

// Columns of the linear parameters at a rate: 1 and exp(-rate x), or their difference.
Eigen::MatrixXd basis(const Points& x, double rate, ExponentialForm form) {
  const Eigen::VectorXd decay = (-rate * x.array()).exp();
  if (form == ExponentialForm::kThroughZero) return 1.0 - decay.array();
  Eigen::MatrixXd out(x.size(), 2);
  out << Eigen::VectorXd::Ones(x.size()), decay;
  return out;
}

// Least squares at one rate: linear, so solved at once (Golub and Pereyra 1973).
struct Projection {
  Eigen::VectorXd linear;
  double squares = 0;
};

Projection project(const Points& x, const Points& y, double rate,
                   ExponentialForm form) {
  const Eigen::MatrixXd columns = basis(x, rate, form);
  const Eigen::VectorXd linear = columns.colPivHouseholderQr().solve(y);
  return {linear, (columns * linear - y).squaredNorm()};
}

// The best of rates spread evenly in their logarithm over all that the data can show:
// from a curve nearly straight to one over before the second point. Range and spacing
// are own choices.
double best_rate(const Points& x, const Points& y, ExponentialForm form) {
  const double span = x.maxCoeff() - std::min(x.minCoeff(), 0.0);
  double best = 1.0 / span, least = HUGE_VAL;
  for (double log_rate = -5.0; log_rate <= 5.0; log_rate += 0.05) {
    const double rate = std::exp(log_rate) / span;
    const double squares = project(x, y, rate, form).squares;
    if (squares < least) {
      least = squares;
      best = rate;
    }
  }
  return best;
}

}  // namespace

ExponentialFit fit_exponential(std::span<const double> xs, std::span<const double> ys,
                               ExponentialForm form) {
  assert(xs.size() == ys.size());
  const Points x(xs.data(), static_cast<Eigen::Index>(xs.size()));
  const Points y(ys.data(), static_cast<Eigen::Index>(ys.size()));
  const double rate = best_rate(x, y, form);
  const Projection start = project(x, y, rate, form);
  // Parameters in units of their start, so that all are of order one.
  Eigen::VectorXd unit(start.linear.size() + 1);
  unit << start.linear, rate;
  const auto residuals = [&](const Eigen::VectorXd& s) {
    const Eigen::VectorXd p = s.cwiseProduct(unit);
    const Eigen::MatrixXd columns = basis(x, p[p.size() - 1], form);
    return (columns * p.head(p.size() - 1) - y).eval();
  };
  const auto fit = least_squares(residuals, Eigen::VectorXd::Ones(unit.size()));
  const Eigen::VectorXd p = fit.x.cwiseProduct(unit);
  ExponentialFit out{.asymptote = p[0],
                     .amplitude = form == ExponentialForm::kFree ? p[1] : -p[0],
                     .rate = p[p.size() - 1],
                     .squares = fit.cost};
  const double edge = std::exp(5.0) / (x.maxCoeff() - std::min(x.minCoeff(), 0.0));
  out.converged = fit.status != LeastSquaresStatus::kIterations && out.rate > 0 &&
                  out.rate < edge && x.size() > unit.size();
  if (x.size() > unit.size()) {
    // d(unit p) = unit dp, and the amplitude's error is the asymptote's through zero.
    const Eigen::VectorXd sd = standard_deviations(fit).cwiseProduct(unit.cwiseAbs());
    out.asymptote_sd = sd[0];
    out.amplitude_sd = form == ExponentialForm::kFree ? sd[1] : sd[0];
    out.rate_sd = sd[sd.size() - 1];
  }
  return out;
}

}  // namespace drydepth
