#include "reference/model_figures.h"

#include <catch2/catch.hpp>

#include "base/files.h"
#include "reference/cylinder_series.h"

namespace drydepth {
namespace {

// The digits that the other tests carry were worked out apart, in 30-digit arithmetic.
TEST_CASE("closed forms as functions") {
  using namespace series;
  const CylinderSeries open, film(10);
  const AnnulusSeries thin(1.25, Core::kSealed), sealed(2, Core::kSealed),
      both(2, Core::kOpen);
  struct Row {
    const char* label;
    double found, exact;
  };
  const Row rows[] = {
      {"Crank 5.23, T 0.01", open.left(0.01), 0.2154739381795},
      {"Crank 5.23, T 0.5", open.left(0.5), 0.9616212949491},
      {"Crank 5.49, L 10, T 0.1", film.left(0.1), 0.490016437302},
      {"sealed annulus 1.25, T 0.05", thin.mean_remaining(0.05), 0.725255672752},
      {"sealed annulus 2, T 1", sealed.mean_remaining(1.0), 0.0302140958501},
      {"sealed annulus 2, r 1.5, T 0.1", sealed.remaining_at(1.5, 0.1), 0.69322478742},
      {"open annulus 2, T 0.1", 1 - both.mean_remaining(0.1), 0.695899207472},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    CHECK(row.found == Approx(row.exact).margin(1e-9));
  }
}

TEST_CASE("the figures of the documentation are what the program draws") {
  for (const figures::Figure& figure : figures::all_figures()) {
    INFO("docs/figures/" << figure.name << ".svg: renew it with model_figures");
    const auto kept = read_whole_file(std::string(DRYDEPTH_SOURCE) + "/docs/figures/" +
                                      figure.name + ".svg");
    REQUIRE(kept);
    CHECK((*kept == chart_svg(figure.chart)));
  }
}

}  // namespace
}  // namespace drydepth
