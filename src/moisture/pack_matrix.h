#pragma once

#include <array>
#include <vector>

#include "moisture/pack_rates.h"

namespace drydepth {

/// Factors of (shift I - J) for the pack, J the exact Jacobian of pack_rates.
///
/// Within a layer the strand's shells form a tridiagonal block that meets the rest only
/// through its last shell, so each is eliminated first. What remains couples (vapour,
/// temperature) of neighbouring layers: block tridiagonal, 2 x 2. A chamber adds one
/// unknown that sees every layer: bordering. Cost linear in layers times shells.
/// Source: equations 5 to 10 of docs/model.md, derivatives by hand (derived). Test:
/// pack_matrix, "the factorisation is that of the rates' Jacobian".
class PackMatrix {
 public:
  void shape(int shells, int stride);

  /// Factors at the state whose rates and terms are given.
  void factor(const PackModel& model, const Surroundings& around, int layers,
              double shift, const PackVector& y, const PackTerms& terms,
              const PackVector& rates);

  /// Solves (shift I - J) u = b in place.
  void solve(PackVector& b);

 private:
  using Block = std::array<double, 4>;  // row-major: (w,w) (w,T) (T,w) (T,T)

  void factor_strands(const PackModel& model, const PackTerms& terms,
                      const PackVector& rates);
  void assemble_layers(const PackModel& model, const PackVector& y,
                       const PackTerms& terms);
  void factor_layers();
  void solve_layers(double* w, double* t) const;

  int shells_ = 0, stride_ = 0, layers_ = 0;
  double shift_ = 0;
  // Strand elimination: forward factors and the swept temperature column.
  std::vector<double> lower_, pivot_, upper_, column_t_;
  std::vector<double> column_w_;        // of the last shell only
  std::vector<double> gap_x_, heat_x_;  // d(rate of w, T)/d(last shell)
  // Layer system.
  std::vector<Block> diagonal_, below_, above_;
  // Border: the chamber's column and row, and how the ledger sees the layers.
  bool bordered_ = false;
  double chamber_volume_m3_ = 0, chamber_pivot_ = 0;
  std::vector<double> border_w_, border_t_;  // (layer matrix)^-1 times the column
  std::vector<double> leaving_w_, leaving_t_;
  double leaving_c_ = 0;
};

}  // namespace drydepth
