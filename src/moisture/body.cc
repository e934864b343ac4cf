#include "moisture/body.h"

#include <cmath>

namespace drydepth {

double body_equilibrium(const BodyLaw& law, double activity) {
  // Equation 12 of docs/model.md, isotherm.
  return law.slope * activity / (1.0 - law.curvature * activity);
}

double body_content_after(const BodyLaw& law, double content, double activity,
                          double seconds) {
  // Equation 12 at constant activity, solved exactly.
  const double end = body_equilibrium(law, activity);
  return end + (content - end) * std::exp(-seconds / law.time_constant_s);
}

}  // namespace drydepth
