#pragma once

#include <optional>
#include <vector>

namespace drydepth {

/// Densest packing of touching cylinders, pi/sqrt(12) (hexagonal; closed form): no
/// winding holds more.
inline constexpr double kDensestFill = 0.9069;

/// Share of the winding's volume that is strand when nobody knows better: between the
/// square (0.785) and loose winding; one example in the literature of the trade gives
/// 0.63 (derived from a spool's outer sizes), tight ones reach 0.8.
constexpr double kDefaultFill = 0.72;

/// A wound annulus of strand between two flanges, in layers counted from the hub.
struct Winding {
  double strand_diameter_m = 0;
  double hub_radius_m = 0;
  double outer_radius_m = 0;
  double width_m = 0;
  double fill = kDefaultFill;     ///< f: strand volume over pack volume
  double density_kg_m3 = 0;       ///< of the dry polymer
  std::vector<double> edges_m{};  ///< layer i lies between edges i and i+1

  int layers() const { return static_cast<int>(edges_m.size()) - 1; }
};

/// What is known of a winding: the width and two of the other three.
struct WindingFacts {
  double strand_diameter_m = 0;
  double width_m = 0;
  double density_kg_m3 = 0;
  std::optional<double> hub_radius_m{};
  std::optional<double> outer_radius_m{};
  std::optional<double> dry_mass_kg{};
};

/// Cuts the annulus into layers of one strand diameter from the hub outwards:
///   N = ceil((r_o - r_h)/d - 0.05),  f = m_dry/(rho pi W (r_o^2 - r_h^2))
/// The outermost may be partial; a sliver under 5 % merges into the layer beneath.
/// If a radius or the mass is missing, it follows from f = kDefaultFill.
/// Source: docs/model.md, "Geometry". Test: winding, "layer count: whole, partial and
/// sliver", "two of three facts make the same spool", "the fill follows from the mass".
Winding make_winding(const WindingFacts& facts);

/// V = pi W (r_outer^2 - r_inner^2), m3, and f rho V, kg, of one layer or of all. Test:
/// winding, "layers add up to the annulus" and "mass of the reference spool".
double layer_volume_m3(const Winding& winding, int layer);
double layer_mass_kg(const Winding& winding, int layer);
double dry_mass_kg(const Winding& winding);

/// Dry mass of a length of strand, kg: L rho pi d^2/4 (docs/model.md, "Geometry").
/// Test: moisture_air, "length and mass of filament".
double strand_mass_kg(double length_m, double diameter_m, double density_kg_m3);

}  // namespace drydepth
