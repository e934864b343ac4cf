#include "inference/exponential.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

using namespace drydepth;

namespace {

// NIST/ITL Statistical Reference Datasets (StRD), nonlinear regression, model
// y = b1 (1 - exp(-b2 x)): data, certified parameters, their standard deviations, and
// residual sums of squares.
struct Certified {
  const char* name;
  std::vector<double> x, y;
  double b1, b2, b1_sd, b2_sd, squares;
};

const Certified kSets[] = {{"BoxBOD",
                            {1, 2, 3, 5, 7, 10},
                            {109, 149, 149, 191, 213, 224},
                            2.1380940889e+02,
                            5.4723748542e-01,
                            1.2354515176e+01,
                            1.0455993237e-01,
                            1.1680088766e+03},
                           {"Misra1a",
                            {77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4,
                             434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
                            {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82,
                             50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
                            2.3894212918e+02,
                            5.5015643181e-04,
                            2.7070075241e+00,
                            7.2668688436e-06,
                            1.2455138894e-01}};

// Matching significant digits.
double digits(double got, double certified) {
  return -std::log10(std::max(1e-16, std::abs(got / certified - 1.0)));
}

}  // namespace

TEST_CASE("certified regressions of NIST StRD") {
  for (const Certified& set : kSets) {
    INFO(set.name);
    const auto fit = fit_exponential(set.x, set.y, ExponentialForm::kThroughZero);
    CHECK(fit.converged);
    CHECK(digits(fit.asymptote, set.b1) >= 6);
    CHECK(digits(fit.rate, set.b2) >= 6);
    CHECK(digits(fit.asymptote_sd, set.b1_sd) >= 4);
    CHECK(digits(fit.rate_sd, set.b2_sd) >= 4);
    CHECK(digits(fit.squares, set.squares) >= 6);
  }
}

TEST_CASE("an exponential gives its own parameters back") {
  std::vector<double> x, y;
  for (int k = 0; k < 12; ++k) {
    x.push_back(k);
    y.push_back(1200.0 + 26.0 * std::exp(-0.3 * k));
  }
  const auto fit = fit_exponential(x, y, ExponentialForm::kFree);
  CHECK(fit.converged);
  CHECK(fit.asymptote == Approx(1200).epsilon(1e-6));
  CHECK(fit.amplitude == Approx(26).epsilon(1e-4));
  CHECK(fit.rate == Approx(0.3).epsilon(1e-4));
}

TEST_CASE("a straight line says that it fixes no asymptote") {
  std::vector<double> x, y;
  for (int k = 0; k < 6; ++k) {
    x.push_back(k);
    y.push_back(1226.0 - 2.0 * k);
  }
  const auto fit = fit_exponential(x, y, ExponentialForm::kFree);
  // Whatever the search ends with is far outside the data and says so.
  CHECK((!fit.converged || fit.asymptote_sd > 10.0 || fit.asymptote < 1150.0));
}
