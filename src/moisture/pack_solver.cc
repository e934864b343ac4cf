#include "moisture/pack_solver.h"

#include <algorithm>
#include <cassert>
#include <cmath>

// Equation numbers are those of docs/model.md; the method: "Numerical method" there.

namespace drydepth {
namespace {

constexpr double kGamma = 0.5;  // Rodas3, Sandu et al. 1997
constexpr double kFirstStepS = 60.0;
constexpr double kSmallestStepS = 1e-4;
constexpr double kBroken = 1e9;               // error of a step that is not even finite
constexpr double kKelvinPerContent = 2000.0;  // 0.02 K weighs as 1e-5

// out = a + sum of scale_n * v_n, over the flat blocks.
void combine(PackVector& out, const PackVector& a, double s1, const PackVector& v1,
             double s2, const PackVector& v2, double s3, const PackVector& v3) {
  const std::size_t n = out.data.size();
  for (std::size_t k = 0; k < n; ++k) {
    out.data[k] = a.data[k] + s1 * v1.data[k] + s2 * v2.data[k] + s3 * v3.data[k];
  }
}

}  // namespace

PackSolver::PackSolver(const Polymer& polymer, const Winding& winding,
                       const PackProperties& properties, const PackOptions& options)
    : model_(make_pack_model(polymer, winding, properties, options)),
      options_(options) {
  matrix_.shape(model_.shells, model_.layers);
  terms_.shape(model_.shells, model_.layers);
  for (auto* v : {&rates_, &drift_, &u1_, &u2_, &u3_, &u4_, &stage_}) {
    v->shape(model_.shells, model_.layers);
  }
  ceiling_.assign(index(model_.layers), 0.0);
}

PackState PackSolver::uniform(DryBasis content, Kelvin temperature) const {
  return layered(std::vector<double>(index(model_.layers), content.value), temperature);
}

PackState PackSolver::layered(const std::vector<double>& content,
                              Kelvin temperature) const {
  assert(content.size() == index(model_.layers));
  PackState state;
  state.layers = model_.layers;
  state.y.shape(model_.shells, model_.layers);
  // Gap air in equilibrium: the inverse of equation 3 times c_sat of equation 1.
  const double saturated = saturated_vapour(temperature.value).concentration_kg_m3;
  for (int i = 0; i < model_.layers; ++i) {
    for (int j = 0; j < model_.shells; ++j) state.y.content(j)[i] = content[index(i)];
    state.y.vapour()[i] =
        saturated * activity_over(model_.polymer, content[index(i)], temperature.value);
    state.y.temperature()[i] = temperature.value;
  }
  return state;
}

// Equation 10, drifting air. Test: moisture_cvode, "agreement with CVODE over a
// history" (its cooling).
Air PackSolver::air_at(const Surroundings& around, double elapsed_s) const {
  return {around.air.temperature_k + around.temperature_rate_k_s * elapsed_s,
          around.air.vapour_kg_m3 + around.vapour_rate_kg_m3_s * elapsed_s};
}

// dF/dt at fixed state: the drift of the air (equation 10), seen through equations 8
// and 9 by every layer that meets it (derived). Test: pack_solver, "order of
// convergence".
void PackSolver::time_derivative(const Surroundings& around, int layers) {
  const double solid = model_.winding.fill * model_.winding.density_kg_m3;
  const double heat = solid * model_.polymer.heat_capacity_j_kg_k;
  const double gap = 1.0 - model_.winding.fill;
  const double vapour_rate = around.chamber ? 0.0 : around.vapour_rate_kg_m3_s;
  drift_.released() = 0.0;
  for (int i = 0; i < layers; ++i) {
    const std::size_t k = index(i);
    const double by_air = -terms_.leaving_c[k] * vapour_rate;
    drift_.vapour()[i] = by_air / (model_.volume_m3[k] * gap);
    drift_.released() -= by_air;
    drift_.temperature()[i] =
        terms_.air_w_k[k] / (model_.volume_m3[k] * heat) * around.temperature_rate_k_s;
  }
}

// Dew makes a gap slow, its end makes it fast again: a step that saw only the slow side
// would take out more than there is. Where dew will not last the step, the matrix is
// that of the gap without it. Water stays a linear invariant of such a matrix, and the
// error estimate does not depend on its being exact (the idea of W-methods: Steihaug
// and Wolfbrandt 1979, Math. Comp. 33, 521; the order may fall in such a step). Test:
// pack_bounds.
void PackSolver::foresee_drying_of_dew(const PackVector& y, int layers, double h) {
  for (int i = 0; i < layers; ++i) {
    const std::size_t k = index(i);
    const bool dew = terms_.potential_w[k] == 0.0;
    if (dew && y.vapour()[i] + h * rates_.vapour()[i] < terms_.potential[k]) {
      linearise_without_dew(k, terms_);
    }
  }
}

// Rodas3 (Sandu et al. 1997, Atmos. Environ. 31, 3459): the multiples of the stages, of
// the drift and of 1/h below are its coefficients. The last stage is the difference to
// the embedded solution of order 2. Test: pack_solver, "order of convergence".
bool PackSolver::step(const PackState& state, const Surroundings& around,
                      double elapsed_s, double h) {
  const int n = state.layers;
  const PackVector& y = state.y;
  const Air begin = air_at(around, elapsed_s), end = air_at(around, elapsed_s + h);
  pack_rates(model_, around, begin, n, y, terms_, rates_);
  foresee_drying_of_dew(y, n, h);
  matrix_.factor(model_, around, n, 1.0 / (kGamma * h), y, terms_, rates_);
  time_derivative(around, n);

  combine(u1_, rates_, 0.5 * h, drift_, 0, drift_, 0, drift_);
  matrix_.solve(u1_);
  combine(u2_, rates_, 1.5 * h, drift_, 4.0 / h, u1_, 0, drift_);
  matrix_.solve(u2_);

  combine(stage_, y, 2.0, u1_, 0, u1_, 0, u1_);
  pack_rates(model_, around, end, n, stage_, terms_, rates_);
  combine(u3_, rates_, 1.0 / h, u1_, -1.0 / h, u2_, 0, u2_);
  matrix_.solve(u3_);

  combine(stage_, y, 2.0, u1_, 1.0, u3_, 0, u3_);
  pack_rates(model_, around, end, n, stage_, terms_, rates_);
  combine(u4_, rates_, 1.0 / h, u1_, -1.0 / h, u2_, -8.0 / (3.0 * h), u3_);
  matrix_.solve(u4_);

  combine(stage_, stage_, 1.0, u4_, 0, u4_, 0, u4_);
  return std::isfinite(error_norm(n));
}

// Largest over the layers of the root mean square error of the strand's content,
// together with that of the temperature, in units of tolerance. Gap vapour only has to
// be finite.
double PackSolver::error_norm(int layers) const {
  double worst = 0.0;
  for (int i = 0; i < layers; ++i) {
    double square = 0.0;
    for (int j = 0; j < model_.shells; ++j) {
      const double e = u4_.content(j)[i];
      square += model_.shell_share[index(j)] * e * e;
    }
    const double kelvin = u4_.temperature()[i] / kKelvinPerContent;
    worst = std::max(worst, square + kelvin * kelvin);
    if (!std::isfinite(square + u4_.vapour()[i])) return NAN;
  }
  return std::sqrt(worst) / options_.tolerance;
}

// No content passes the larger of what its layer held and of saturation at the layer's
// temperature, before the step or after: a layer that saturated while cold may warm.
void PackSolver::raise_ceiling(const PackState& state) {
  for (int i = 0; i < state.layers; ++i) {
    double top = equilibrium_content(model_.polymer, 1.0, state.y.temperature()[i]);
    for (int j = 0; j < model_.shells; ++j) top = std::max(top, state.y.content(j)[i]);
    ceiling_[index(i)] = top;
  }
}

// Draws the shells of a layer towards their mean until all lie within 0 and top, which
// the mean does (the scaling limiter of Zhang and Shu 2010, J. Comput. Phys. 229,
// 3091).
void PackSolver::draw_shells_in(int i, double mean, double top) {
  double low = 0.0, high = top;
  for (int j = 0; j < model_.shells; ++j) {
    low = std::min(low, stage_.content(j)[i]);
    high = std::max(high, stage_.content(j)[i]);
  }
  double keep = 1.0;
  if (low < 0.0) keep = std::min(keep, mean / (mean - low));
  if (high > top) keep = std::min(keep, (top - mean) / (high - mean));
  for (int j = 0; j < model_.shells; ++j) {
    double& x = stage_.content(j)[i];
    x = std::clamp(mean + keep * (x - mean), 0.0, top);
  }
}

// Brings one layer within its bounds and keeps its water: strand and gap lend to each
// other, what the strand cannot hold is dew. Returns what the layer is short of, kg.
// The largest excess over a bound, in kg/kg, stands in `beyond`. Water of a layer:
// f rho X + (1 - f) w per volume (equation 6). Test: pack_bounds, "hostile spools stay
// finite, within bounds and keep their water".
double PackSolver::settle_layer(int i, double owed_kg, double& beyond) {
  const double solid = model_.winding.fill * model_.winding.density_kg_m3;
  const double gap = (1.0 - model_.winding.fill) / solid;  // kg/kg per kg/m3
  const double layer_kg = solid * model_.volume_m3[index(i)];
  const double top =
      std::max(ceiling_[index(i)],
               equilibrium_content(model_.polymer, 1.0, stage_.temperature()[i]));
  double& w = stage_.vapour()[i];
  double mean = 0.0, low = 0.0, high = 0.0;
  for (int j = 0; j < model_.shells; ++j) {
    const double x = stage_.content(j)[i];
    low = std::min(low, x);
    high = std::max(high, x);
    mean += model_.shell_share[index(j)] * x;
  }
  if (low >= 0.0 && high <= top && w >= 0.0 && owed_kg == 0.0) return 0.0;
  if (w < 0.0) {  // as the content that it is in equilibrium with
    const double t_k = stage_.temperature()[i];
    beyond = std::max(beyond, -w / saturated_vapour(t_k).concentration_kg_m3 *
                                  model_.polymer.isotherm_slope);
  }
  beyond = std::max({beyond, -mean, mean - top});
  const double total = mean + gap * w - owed_kg / layer_kg;
  const double vapour = std::clamp(gap * w, 0.0, std::max(total, 0.0));
  const double held = std::clamp(total - vapour, 0.0, top);
  w = std::max(0.0, total - held) / gap;
  for (int j = 0; j < model_.shells; ++j) stage_.content(j)[i] += held - mean;
  draw_shells_in(i, held, top);
  return std::max(0.0, -total) * layer_kg;
}

// Errors may put a dry layer a little below 0, or a saturated one above. A layer that
// is short of water owes it to the next one outwards, the last one to the air. False
// where more than the tolerance is owed: the step was too long.
bool PackSolver::keep_within_bounds(const Surroundings& around, int layers) {
  double owed_kg = 0.0, beyond = 0.0;
  for (int i = 0; i < layers; ++i) owed_kg = settle_layer(i, owed_kg, beyond);
  stage_.released() -= owed_kg;
  if (around.chamber) stage_.chamber() -= owed_kg / around.chamber->volume_m3;
  return beyond <= options_.tolerance;
}

PackSummary PackSolver::advance(PackState& state, const Surroundings& around,
                                double seconds) {
  PackSummary summary;
  raise_ceiling(state);
  double elapsed = 0.0, h = state.step_s > 0 ? state.step_s : kFirstStepS;
  while (elapsed < seconds && state.layers > 0) {
    h = std::min(h, options_.max_step_s);
    // Two equal steps to the end rather than a full one and a sliver.
    const double left = seconds - elapsed;
    const bool final = h >= left;
    const double now = final ? left : std::min(h, left / 2.0);
    const bool smallest = now <= kSmallestStepS;
    double error =
        step(state, around, elapsed, now) ? error_norm(state.layers) : kBroken;
    if (error <= 1.0 && !keep_within_bounds(around, state.layers)) error = 8.0;
    if (smallest && error > 1.0 && error < kBroken) {
      keep_within_bounds(around, state.layers);
      summary.strained = true;
      error = 1.0;
    }
    if (error <= 1.0) {
      std::swap(state.y.data, stage_.data);
      raise_ceiling(state);
      elapsed = final ? seconds : elapsed + now;
      ++summary.steps;
    } else if (smallest) {  // not even finite: the state stays as it was
      summary.strained = true;
      return summary;
    } else {
      ++summary.rejected;
    }
    // Step for the next error: the embedded order is 2, so h grows with error^(-1/3)
    // (Hairer and Wanner 1996, Solving Ordinary Differential Equations II; from
    // memory). 0.9, 0.2 and 8 are own choices.
    const double next =
        std::max(kSmallestStepS,
                 now * std::clamp(0.9 / std::cbrt(std::max(error, 1e-3)), 0.2, 8.0));
    // A step cut short by the end says nothing against a longer one after it.
    state.step_s = now < h && error <= 1.0 ? std::max(h, next) : next;
    h = next;
  }
  return summary;
}

}  // namespace drydepth
