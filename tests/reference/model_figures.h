#pragma once

#include <string>
#include <vector>

#include "page/chart.h"

namespace drydepth::figures {

/// A figure of docs/model.md; the file is docs/figures/NAME.svg.
struct Figure {
  std::string name;
  Chart chart;
};

/// The solver against closed forms, and how its error falls.
Figure strand_series();
Figure annulus_series();
Figure annulus_profile();
Figure convergence();

/// The material and the reference run.
Figure isotherm();
Figure drying_profile();
Figure scale_misleads();
Figure nozzle();
Figure one_night();

std::vector<Figure> all_figures();

}  // namespace drydepth::figures
