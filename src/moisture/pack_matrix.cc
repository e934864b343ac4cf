#include "moisture/pack_matrix.h"

#include <algorithm>

// Equation numbers are those of docs/model.md; the order of elimination is described
// there. J is the derivative of pack_rates(); its entries are derived by hand. One test
// holds all of them, and the solution with them, against differences of the rates:
// Test: pack_matrix, "the factorisation is that of the rates' Jacobian".

namespace drydepth {
namespace {

std::array<double, 4> inverse(const std::array<double, 4>& a) {
  const double d = 1.0 / (a[0] * a[3] - a[1] * a[2]);
  return {a[3] * d, -a[1] * d, -a[2] * d, a[0] * d};
}

std::array<double, 4> product(const std::array<double, 4>& a,
                              const std::array<double, 4>& b) {
  return {a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3],
          a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3]};
}

}  // namespace

void PackMatrix::shape(int shells, int stride) {
  shells_ = shells;
  stride_ = stride;
  for (auto* v : {&lower_, &pivot_, &upper_, &column_t_}) {
    v->assign(index(shells * stride), 0.0);
  }
  for (auto* v : {&column_w_, &gap_x_, &heat_x_, &border_w_, &border_t_, &leaving_w_,
                  &leaving_t_}) {
    v->assign(index(stride), 0.0);
  }
  for (auto* v : {&diagonal_, &below_, &above_}) v->assign(index(stride), Block{});
}

void PackMatrix::factor(const PackModel& model, const Surroundings& around, int layers,
                        double shift, const PackVector& y, const PackTerms& terms,
                        const PackVector& rates) {
  layers_ = layers;
  shift_ = shift;
  factor_strands(model, terms, rates);
  assemble_layers(model, y, terms);
  factor_layers();
  for (int i = 0; i < layers; ++i) {
    leaving_w_[index(i)] = terms.leaving_w[index(i)];
    leaving_t_[index(i)] = terms.leaving_t[index(i)];
  }
  leaving_c_ = 0.0;
  bordered_ = around.chamber.has_value();
  if (!bordered_) return;
  // Equations 8 and 9 with the box's vapour as c_air. Border column: minus the
  // derivative of equation 6 by it.
  const double gap = 1.0 - model.winding.fill;
  for (int i = 0; i < layers; ++i) {
    const std::size_t k = index(i);
    leaving_c_ += terms.leaving_c[k];
    border_w_[k] = -(-terms.leaving_c[k] / model.volume_m3[k] / gap);
    border_t_[k] = 0.0;
  }
  solve_layers(border_w_.data(), border_t_.data());
  chamber_volume_m3_ = around.chamber->volume_m3;
  double row = 0.0;
  for (int i = 0; i < layers; ++i) {
    row += leaving_w_[index(i)] * border_w_[index(i)] +
           leaving_t_[index(i)] * border_t_[index(i)];
  }
  // Equation 10, the box: V dc/dt = leaving + Q (c_in - c). Its row meets the layers
  // only through what leaves them. The pivot is what elimination of the layers leaves.
  chamber_pivot_ =
      shift - (leaving_c_ - around.chamber->exchange_m3_s - row) / chamber_volume_m3_;
}

// Equation 5. Tridiagonal elimination (Thomas 1949, from memory) from the axis
// outwards, all layers side by side; the column of T rides along. No pivoting: each
// column, weighted by the shells' shares, is diagonally dominant while shift > 0
// (derived).
void PackMatrix::factor_strands(const PackModel& m, const PackTerms& terms,
                                const PackVector& rates) {
  const int last = shells_ - 1;
  for (int j = 0; j <= last; ++j) {
    const double share = 1.0 / m.shell_share[index(j)];
    const double in = j > 0 ? m.shell_link[index(j - 1)] * share : 0.0;
    const double out = m.shell_link[index(j)] * share;
    const std::size_t row = index(j * stride_);
    for (int i = 0; i < layers_; ++i) {
      const std::size_t k = row + index(i), before = k - (j > 0 ? index(stride_) : 0);
      const std::size_t after = k + (j < last ? index(stride_) : 0);
      const double d = terms.diffusivity[index(i)];
      // Kirchhoff: the flux j -> j+1 is D k_j (Phi_j - Phi_j+1), and dPhi/dX the slope.
      const double low = j > 0 ? -d * in * terms.slope[before] : 0.0;
      const double up = j < last ? -d * out * terms.slope[after] : 0.0;
      const double mid = shift_ + d * (in + out) * terms.slope[k];
      // Equations 4 and 5 by T: D is a factor of all fluxes, so the rate is scaled by
      // d ln D/dT. In the last shell T moves the surface's content too (equation 3).
      double column = rates.content(j)[i] * terms.diffusivity_log_slope[index(i)];
      if (j == last) {
        const double by_t =
            terms.release_t[index(i)] -
            terms.release[index(i)] * terms.diffusivity_log_slope[index(i)];
        column -= by_t * share;
      }
      const double pivot = 1.0 / (j > 0 ? mid - low * upper_[before] : mid);
      lower_[k] = low;
      pivot_[k] = pivot;
      upper_[k] = up * pivot;
      column_t_[k] = (j > 0 ? column - low * column_t_[before] : column) * pivot;
    }
  }
  // Equation 5 at r = d/2: the gap's vapour acts on the last shell only, by X_eq.
  for (int i = 0; i < layers_; ++i) {
    const std::size_t k = index(last * stride_ + i);
    column_w_[index(i)] =
        -terms.release_w[index(i)] / m.shell_share[index(last)] * pivot_[k];
  }
}

// Equations 6 and 7: rows of (vapour, temperature), with the last shell already
// replaced by X = d + column_t T + column_w w (Schur complement of the strand).
void PackMatrix::assemble_layers(const PackModel& m, const PackVector& y,
                                 const PackTerms& t) {
  const double f = m.winding.fill, solid = f * m.winding.density_kg_m3;
  const double gap = 1.0 - f, heat = solid * m.polymer.heat_capacity_j_kg_k;
  const int last = shells_ - 1;
  for (int i = 0; i < layers_; ++i) {
    const std::size_t k = index(i);
    const double latent = latent_heat_j_kg(y.temperature()[i]);
    const double per_gap = 1.0 / (m.volume_m3[k] * gap);
    const double per_heat = 1.0 / (m.volume_m3[k] * heat);
    // Equation 6 by w and T: release of the strand, loss to the air (8, 9).
    // Equation 7 by w and T: heat of evaporation with h_v(T), loss to the air (8, 9).
    Block rate{};  // d(rates of w, T)/d(w, T)
    rate[0] = solid / gap * t.release_w[k] - t.leaving_w[k] * per_gap;
    rate[1] = solid / gap * t.release_t[k] - t.leaving_t[k] * per_gap;
    rate[2] = -solid / heat * latent * t.release_w[k];
    rate[3] =
        -solid / heat * (latent * t.release_t[k] + kLatentHeatSlope * t.release[k]) -
        t.air_w_k[k] * per_heat;
    // The same two by the last shell's content: through the release S alone.
    gap_x_[k] = solid / gap * t.release_x[k];
    heat_x_[k] = -solid / heat * latent * t.release_x[k];
    below_[k] = above_[k] = Block{};
    const auto couple = [&](int other, Block& to_other) {
      const std::size_t o = index(other);
      const double area = m.face_m[index(std::min(i, other))];
      const double d = (t.pack_diffusivity[k] + t.pack_diffusivity[o]) / 2.0;
      const double drop = t.potential[k] - t.potential[o];
      // Equations 6 and 7 between two layers. Of g D_va each layer's temperature moves
      // its own half: the face takes the mean of both (equation 2).
      const double conduction = area * m.properties.conductivity_w_mk * per_heat;
      rate[0] -= area * d * t.potential_w[k] * per_gap;
      rate[1] -= area * (d * t.potential_t[k] + t.pack_diffusivity_t[k] / 2.0 * drop) *
                 per_gap;
      rate[3] -= conduction;
      to_other[0] = -area * d * t.potential_w[o] * per_gap;
      to_other[1] = area *
                    (t.pack_diffusivity_t[o] / 2.0 * drop - d * t.potential_t[o]) *
                    per_gap;
      to_other[3] = -conduction;
    };
    if (i > 0) couple(i - 1, below_[k]);
    if (i + 1 < layers_) couple(i + 1, above_[k]);
    const double by_t = column_t_[index(last * stride_ + i)], by_w = column_w_[k];
    diagonal_[k] = {shift_ - rate[0] - gap_x_[k] * by_w, -rate[1] - gap_x_[k] * by_t,
                    -rate[2] - heat_x_[k] * by_w, shift_ - rate[3] - heat_x_[k] * by_t};
  }
}

// Block tridiagonal elimination, blocks of 2 x 2, from the hub outwards (block LU:
// Golub and Van Loan, Matrix Computations, 3rd ed. 1996, section 4.5; from memory).
// diagonal_ then holds inverses, above_ inverse times above. No pivoting across layers,
// and no proof that none is needed: Test: pack_bounds covers extreme spools.
void PackMatrix::factor_layers() {
  for (int i = 0; i < layers_; ++i) {
    const std::size_t k = index(i);
    if (i > 0) {
      const Block fill = product(below_[k], above_[k - 1]);
      for (std::size_t e = 0; e < 4; ++e) diagonal_[k][e] -= fill[e];
    }
    diagonal_[k] = inverse(diagonal_[k]);
    above_[k] = product(diagonal_[k], above_[k]);
  }
}

void PackMatrix::solve_layers(double* w, double* t) const {
  for (int i = 0; i < layers_; ++i) {
    const std::size_t k = index(i);
    double rw = w[i], rt = t[i];
    if (i > 0) {
      rw -= below_[k][0] * w[i - 1] + below_[k][1] * t[i - 1];
      rt -= below_[k][2] * w[i - 1] + below_[k][3] * t[i - 1];
    }
    w[i] = diagonal_[k][0] * rw + diagonal_[k][1] * rt;
    t[i] = diagonal_[k][2] * rw + diagonal_[k][3] * rt;
  }
  for (int i = layers_ - 2; i >= 0; --i) {
    const Block& a = above_[index(i)];
    const double rw = a[0] * w[i + 1] + a[1] * t[i + 1];
    const double rt = a[2] * w[i + 1] + a[3] * t[i + 1];
    w[i] -= rw;
    t[i] -= rt;
  }
}

void PackMatrix::solve(PackVector& b) {
  const int last = shells_ - 1;
  // Equation 5, strands: forward.
  for (int j = 0; j <= last; ++j) {
    double* x = b.content(j);
    const double* before = j > 0 ? b.content(j - 1) : x;
    const double* low = lower_.data() + j * stride_;
    const double* pivot = pivot_.data() + j * stride_;
    for (int i = 0; i < layers_; ++i) {
      x[i] = (j > 0 ? x[i] - low[i] * before[i] : x[i]) * pivot[i];
    }
  }
  // Equations 6 and 7, layers; the strand's part comes to them through the release S.
  double* w = b.vapour();
  double* t = b.temperature();
  for (int i = 0; i < layers_; ++i) {
    w[i] += gap_x_[index(i)] * b.content(last)[i];
    t[i] += heat_x_[index(i)] * b.content(last)[i];
  }
  solve_layers(w, t);

  // Equation 10, the box (bordering); the layers then give way to its vapour.
  double leaving = 0.0;
  for (int i = 0; i < layers_; ++i) {
    leaving += leaving_w_[index(i)] * w[i] + leaving_t_[index(i)] * t[i];
  }
  if (bordered_) {
    const double chamber =
        (b.chamber() + leaving / chamber_volume_m3_) / chamber_pivot_;
    for (int i = 0; i < layers_; ++i) {
      const double dw = border_w_[index(i)] * chamber,
                   dt = border_t_[index(i)] * chamber;
      w[i] -= dw;
      t[i] -= dt;
      leaving -= leaving_w_[index(i)] * dw + leaving_t_[index(i)] * dt;
    }
    leaving += leaving_c_ * chamber;
    b.chamber() = chamber;
  } else {
    b.chamber() /= shift_;
  }
  // Ledger: its rate is what leaves by 8 and 9, and no other rate depends on it.
  b.released() = (b.released() + leaving) / shift_;

  // Equation 5, strands: backward, with w and T known.
  for (int i = 0; i < layers_; ++i) b.content(last)[i] += column_w_[index(i)] * w[i];
  for (int j = last; j >= 0; --j) {
    double* x = b.content(j);
    const double* after = j < last ? b.content(j + 1) : x;
    const double* up = upper_.data() + j * stride_;
    const double* column = column_t_.data() + j * stride_;
    for (int i = 0; i < layers_; ++i) {
      x[i] += column[i] * t[i] - (j < last ? up[i] * after[i] : 0.0);
    }
  }
}

}  // namespace drydepth
