#include "gcode/read/crosscheck.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"

namespace drydepth {
namespace {

// Observed: real jobs of five slicers agree to half a printed digit, 0.02 mm at most,
// where nothing explains a difference.
constexpr double kToleranceMm = 0.05;
// Rounding of single relative E words, four decimals: 0.1 % in the worst job seen.
constexpr double kRelativeRounding = 1e-3;

std::string mm(double value) { return format_fixed(value, 2) + " mm"; }

std::string reason(const Measured& m, double stated, double tolerance,
                   bool states_net) {
  const auto fits = [&](double length) {
    return std::abs(length - stated) <= tolerance;
  };
  if (m.flow_changed && fits(m.unscaled_peak_mm)) {
    return "the slicer leaves out the flow factor M221, the printer does not";
  }
  if (m.start_mm > kToleranceMm && fits(m.unscaled_peak_mm - m.start_mm)) {
    return "the slicer leaves out the " + mm(m.start_mm) +
           " extruded before the first layer";
  }
  if (fits(m.net_mm)) {
    return states_net ? "this slicer takes the last retraction off"
                      : "the stated length has the last retraction taken off";
  }
  const double off = std::abs(m.peak_mm - stated);
  if (m.relative && off <= kRelativeRounding * stated) {
    return "each relative E word is rounded";
  }
  return "the reason is not known";
}

}  // namespace

std::string difference_note(const Measured& measured, const Stated& stated,
                            bool states_net) {
  const double tolerance = std::max(kToleranceMm, stated.rounding * 1.001);
  if (std::abs(measured.peak_mm - stated.value) <= tolerance) return {};
  return "measured " + mm(measured.peak_mm) + " against " + mm(stated.value) +
         " stated: " + reason(measured, stated.value, tolerance, states_net);
}

}  // namespace drydepth
