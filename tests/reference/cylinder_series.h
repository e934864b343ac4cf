#pragma once

// Closed forms of linear diffusion as functions, for figures and for a check of the
// digits that the tests carry. Crank, The Mathematics of Diffusion, 2nd ed. 1975.

namespace drydepth::series {

/// A solid cylinder whose surroundings are at the air's humidity from T = D t/a^2 = 0
/// on: without a surface resistance (Crank 5.23), or with one, l = h a/D (Crank 5.49).
class CylinderSeries {
 public:
  CylinderSeries();
  explicit CylinderSeries(double l);
  /// Share of the water that has left.
  double left(double t) const;

 private:
  static constexpr int kTerms = 200;
  double roots_[kTerms];
  double weights_[kTerms];
};

enum class Core { kSealed, kOpen };

/// An annulus from 1 to k, its outer surface (and an open core) at the air's humidity,
/// T = D t/(k - 1)^2 with the inner radius as unit of length: by separation of
/// variables, as Crank 5.5.
class AnnulusSeries {
 public:
  AnnulusSeries(double k, Core core);
  double mean_remaining(double t) const;
  double remaining_at(double radius, double t) const;

 private:
  // J0, Y0 combined so that the condition at the core holds, and its slope.
  double mode(double root, double radius) const;
  double slope(double root, double radius) const;
  double water(double root) const;  // integral of mode times radius
  double norm(double root) const;   // integral of mode^2 times radius

  static constexpr int kTerms = 60;
  double k_;
  Core core_;
  double roots_[kTerms];
};

}  // namespace drydepth::series
