#include "moisture/steady_exp.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

namespace drydepth {
namespace {

// Against long double where it is longer than double (x86).
TEST_CASE("steady exp within its bound of the value") {
  struct Row {
    double low, high;
  };
  for (const Row& row : {Row{-1e-6, 1e-6}, {-1, 1}, {0, 12}, {-50, 50}, {-700, 700}}) {
    double worst = 0;
    for (int k = 0; k <= 20000; ++k) {
      const double x = row.low + (row.high - row.low) * k / 20000;
      const long double exact = std::exp(static_cast<long double>(x));
      worst = std::max(worst,
                       static_cast<double>(std::abs((steady_exp(x) - exact) / exact)));
    }
    INFO(row.low << " to " << row.high << ": " << worst);
    CHECK(worst < 4e-16);
  }
}

TEST_CASE("steady exp at its ends") {
  const double inf = std::numeric_limits<double>::infinity();
  CHECK(steady_exp(0) == 1.0);
  CHECK(steady_exp(inf) == steady_exp(700));
  CHECK(steady_exp(-1e9) == steady_exp(-700));
  CHECK(std::isnan(steady_exp(std::nan(""))));
}

}  // namespace
}  // namespace drydepth
