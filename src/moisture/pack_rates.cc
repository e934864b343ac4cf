#include "moisture/pack_rates.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "moisture/steady_exp.h"

// Equation numbers are those of docs/model.md. What holds them:
//   5           Test: moisture_strand_series (closed forms, constant D_s)
//   6           Test: moisture_pack_series (closed forms, quick strands)
//   4, 7, 8, 9  Test: moisture_run (solutions written apart from this code)
//   10, box     Test: pack_solver, "a box with air exchange: spool, air and outlet
//               balance" and "a sealed box keeps what the spool gives off"
// Derivatives: Test: pack_matrix, "the factorisation is that of the rates' Jacobian".

namespace drydepth {
namespace {

using std::numbers::pi;

// Equation 8. Film coefficient at an open hub, W/(m2 K): still air in a tube; a choice
// of the model, no published source.
constexpr double kHubFilmWM2K = 6.0;

// Edges graded towards the strand's surface, where the content changes fastest. Second
// order in the number of shells: Test: moisture_strand_series, "solid cylinder, surface
// at the air's humidity".
void make_shells(const PackOptions& options, double diameter_m, PackModel& model) {
  const int n = options.shells;
  const double radius = diameter_m / 2.0;
  std::vector<double> edge(index(n) + 1), centre(index(n));
  for (int j = 0; j <= n; ++j) {
    edge[index(j)] =
        radius * (1.0 - std::pow(1.0 - static_cast<double>(j) / n, options.grading));
  }
  for (int j = 0; j < n; ++j) {
    // The radius that halves the shell's section: the place its mean content stands
    // for (derived).
    const double inner = edge[index(j)], outer = edge[index(j) + 1];
    centre[index(j)] = std::sqrt((inner * inner + outer * outer) / 2.0);
    model.shell_share.push_back((outer * outer - inner * inner) / (radius * radius));
  }
  for (int j = 0; j < n; ++j) {
    // Steady radial flux between two radii: 2 pi/ln(r2/r1), over the section pi R^2
    // (Crank 1975, section 5.2, the hollow cylinder; from memory).
    const double far = j + 1 < n ? centre[index(j) + 1] : radius;
    model.shell_link.push_back(2.0 / std::log(far / centre[index(j)]) /
                               (radius * radius));
  }
}

// Strand terms: surface content in equilibrium with the gap, and the water it gives
// off.
//   Phi(X) = integral of exp(pX/X_sat): the flux is a difference of Phi, exactly so in
//   steady state, and its derivative is the exponential already at hand (Kirchhoff's
//   transformation: Carslaw and Jaeger 1959, from memory). Its constant cancels in
//   differences.
// Test: moisture_run, "reference run: drying" (p = ln 10).
void surface_terms(const PackModel& m, int i, double w, double t_k, PackTerms& out) {
  const std::size_t k = index(i);
  const Polymer& p = m.polymer;
  // Equations 1 and 6: c = min(w, c_sat), the rest of w is dew.
  const SaturatedVapour sat = saturated_vapour(t_k);
  const bool dew = w >= sat.concentration_kg_m3;
  const double c = dew ? sat.concentration_kg_m3 : w;
  out.potential[k] = c;
  out.potential_w[k] = dew ? 0.0 : 1.0;
  out.potential_t[k] = dew ? sat.concentration_kg_m3 * sat.log_slope_1_k : 0.0;
  // Equation 2, D = g D_va, and the part of equation 4 that only T moves.
  const double pack = m.properties.gap_factor * vapour_diffusivity_m2_s(t_k);
  out.pack_diffusivity[k] = pack;
  out.pack_diffusivity_t[k] = kVapourDiffusivityExponent * pack / t_k;
  out.diffusivity[k] = dry_diffusivity_m2_s(p, t_k);
  out.diffusivity_log_slope[k] = p.activation_j_mol / (kGasConstant * t_k * t_k);

  // Equations 3 and 5: X = X_eq(a, T) at r = d/2.
  const double a = c / sat.concentration_kg_m3;
  const Equilibrium at_surface = equilibrium(p, a, t_k);
  const double surface = at_surface.content;
  const double surface_c = at_surface.by_activity / sat.concentration_kg_m3;
  const double surface_t =  // at fixed c
      -a * sat.log_slope_1_k * at_surface.by_activity + at_surface.by_temperature;
  const double e = steady_exp(m.plasticity * surface);
  const double phi = m.plasticity > 0 ? e / m.plasticity : surface;
  const double link = out.diffusivity[k] * m.shell_link.back();
  out.release[k] = -link * phi;  // completed with the last shell's Phi by the caller
  out.release_c[k] = -link * e * surface_c;
  out.release_w[k] = out.release_c[k] * out.potential_w[k];
  out.release_t[k] = -link * e * surface_t + out.release_c[k] * out.potential_t[k];
}

// Equation 4, the factor exp(p X/X_sat): Phi of all shells, its derivative in
// terms.slope.
void shell_potentials(const PackModel& m, int layers, const PackVector& y,
                      PackTerms& terms) {
  const double b = m.plasticity;
  for (int j = 0; j < m.shells; ++j) {
    const double* x = y.content(j);
    double* slope = terms.slope.data() + j * y.stride;
    double* phi = terms.phi.data() + j * y.stride;
    if (b > 0) {
      for (int i = 0; i < layers; ++i) slope[i] = steady_exp(b * x[i]);
      for (int i = 0; i < layers; ++i) phi[i] = slope[i] * (1.0 / b);
    } else {
      std::fill(slope, slope + layers, 1.0);
      std::copy(x, x + layers, phi);
    }
  }
}

// Equation 5, and S of equation 6: what the last shell gives to the gap.
void strand_rates(const PackModel& m, int layers, const PackVector& y, PackTerms& terms,
                  PackVector& rates) {
  const int last = m.shells - 1;
  for (int i = 0; i < layers; ++i) {
    surface_terms(m, i, y.vapour()[i], y.temperature()[i], terms);
  }
  shell_potentials(m, layers, y, terms);
  const double* d = terms.diffusivity.data();
  for (int i = 0; i < layers; ++i) {
    const std::size_t k = index(i), shell = index(last * y.stride + i);
    const double link = d[i] * m.shell_link[index(last)];
    terms.release[k] += link * terms.phi[shell];
    terms.release_x[k] = link * terms.slope[shell];
    terms.release_t[k] += terms.release[k] * terms.diffusivity_log_slope[k];
  }
  for (int j = 0; j <= last; ++j) {
    const double in =
        j > 0 ? m.shell_link[index(j - 1)] / m.shell_share[index(j)] : 0.0;
    const double out = m.shell_link[index(j)] / m.shell_share[index(j)];
    const double* phi = terms.phi.data() + j * y.stride;
    const double* inner = j > 0 ? phi - y.stride : phi;
    // Equation 5 over one shell: v_j dX/dt = flux in - flux out, no flux at the axis.
    double* rate = rates.content(j);
    if (j < last) {
      const double* outer = phi + y.stride;
      for (int i = 0; i < layers; ++i) {
        rate[i] = d[i] * (in * (inner[i] - phi[i]) - out * (phi[i] - outer[i]));
      }
    } else {
      const double share = 1.0 / m.shell_share[index(j)];
      const double* release = terms.release.data();
      for (int i = 0; i < layers; ++i) {
        rate[i] = d[i] * in * (inner[i] - phi[i]) - release[i] * share;
      }
    }
  }
}

// Equations 8 and 9. One way from a layer into the air: area over a resistance of pack
// and film in series, A (c - c_air)/(s/(g D_va) + 1/h_m).
struct Path {
  double area_m2, pack_m, film_m_s;
};

void add_vapour_path(const Path& path, double c_air, std::size_t k, PackTerms& t) {
  const double inside = path.pack_m / t.pack_diffusivity[k];
  const double resistance = inside + 1.0 / path.film_m_s;
  const double conductance = path.area_m2 / resistance;
  const double flow = conductance * (t.potential[k] - c_air);
  t.leaving[k] += flow;
  t.leaving_w[k] += conductance * t.potential_w[k];
  t.leaving_t[k] += conductance * t.potential_t[k] + flow * inside / resistance *
                                                         t.pack_diffusivity_t[k] /
                                                         t.pack_diffusivity[k];
  t.leaving_c[k] -= conductance;
}

// Outer surface, flanges and hub against the air. Test: moisture_strand_series, "solid
// cylinder with surface resistance" (film of 8), moisture_pack_series, "annulus open at
// the hub too" (vapour), moisture_run, "what the answer hangs on" (hub and flanges).
void air_exchange(const PackModel& m, const Surroundings& around, double c_air,
                  int layers, PackTerms& t) {
  const PackProperties& p = m.properties;
  const double width = m.winding.width_m;
  const double film = mass_film_m_s(around.film_w_m2k);
  for (int i = 0; i < layers; ++i) {
    const std::size_t k = index(i);
    t.leaving[k] = t.leaving_w[k] = t.leaving_t[k] = t.leaving_c[k] = 0.0;
    // Equation 9: both flanges, as heat per volume 2U/W of equation 7.
    t.air_w_k[k] = 2.0 * p.side_w_m2k / width * m.volume_m3[k];
    if (p.flange_open_fraction > 0) {
      // Equation 9. W/6 is the way from the mean of a slab to its face, with an even
      // source (derived).
      add_vapour_path(
          {2.0 * p.flange_open_fraction / width * m.volume_m3[k], width / 6.0, film},
          c_air, k, t);
    }
  }
  // Equation 8: vapour with h_m, heat with h, both from the layer's centre.
  const std::size_t outer = index(layers - 1);
  add_vapour_path({m.outer_area_m2[outer], m.half_m[outer], film}, c_air, outer, t);
  t.air_w_k[outer] += m.outer_area_m2[outer] /
                      (m.half_m[outer] / p.conductivity_w_mk + 1.0 / around.film_w_m2k);
  // Equation 8 at r_h: the open fraction counts for vapour only.
  if (p.hub_open_fraction > 0) {
    const double area = 2.0 * pi * m.winding.hub_radius_m * width;
    add_vapour_path(
        {area * p.hub_open_fraction, m.half_m[0], mass_film_m_s(kHubFilmWM2K)}, c_air,
        0, t);
    t.air_w_k[0] += area / (m.half_m[0] / p.conductivity_w_mk + 1.0 / kHubFilmWM2K);
  }
}

}  // namespace

PackModel make_pack_model(const Polymer& polymer, const Winding& winding,
                          const PackProperties& properties,
                          const PackOptions& options) {
  PackModel m{.polymer = polymer, .winding = winding, .properties = properties};
  m.shells = options.shells;
  make_shells(options, winding.strand_diameter_m, m);
  m.layers = winding.layers();
  // Equation 4: p/X_sat. Below that limit the exponential is 1 to rounding and its
  // quotient loses its digits.
  const double p = polymer.plasticisation;
  m.plasticity = p > 1e-6 ? p / saturation_content(polymer) : 0.0;
  for (int i = 0; i < m.layers; ++i) {
    const double inner = winding.edges_m[index(i)],
                 outer = winding.edges_m[index(i) + 1];
    m.volume_m3.push_back(layer_volume_m3(winding, i));
    m.outer_area_m2.push_back(2.0 * pi * outer * winding.width_m);
    m.half_m.push_back((outer - inner) / 2.0);
    // Two-point flux through the face of two layers: second order in the pitch. Test:
    // moisture_pack_series, "sealed-core annulus, mean" (30 and 200 layers).
    if (i + 1 < m.layers) {
      const double next = winding.edges_m[index(i) + 2];
      m.face_m.push_back(m.outer_area_m2.back() / ((next - inner) / 2.0));
    }
  }
  return m;
}

void PackTerms::shape(int shells, int layers) {
  slope.assign(index(shells * layers), 0.0);
  phi.assign(index(shells * layers), 0.0);
  for (auto* v : {&diffusivity, &diffusivity_log_slope, &release, &release_c,
                  &release_w, &release_t, &release_x, &potential, &potential_w,
                  &potential_t, &pack_diffusivity, &pack_diffusivity_t, &leaving,
                  &leaving_w, &leaving_t, &leaving_c, &air_w_k}) {
    v->assign(index(layers), 0.0);
  }
}

// With c = w in place of c = c_sat(T): dc/dw = 1 and dc/dT = 0 in all derivatives of 6,
// 8 and 9 (derived).
void linearise_without_dew(std::size_t k, PackTerms& t) {
  t.release_w[k] = t.release_c[k];
  t.release_t[k] -= t.release_c[k] * t.potential_t[k];
  t.leaving_w[k] = -t.leaving_c[k];
  t.leaving_t[k] += t.leaving_c[k] * t.potential_t[k];
  t.potential_w[k] = 1.0;
  t.potential_t[k] = 0.0;
}

void pack_rates(const PackModel& m, const Surroundings& around, const Air& air,
                int layers, const PackVector& y, PackTerms& t, PackVector& rates) {
  strand_rates(m, layers, y, t, rates);
  // Equation 10: the air's vapour is given, or that of the box.
  const double c_air = around.chamber ? y.chamber() : air.vapour_kg_m3;
  air_exchange(m, around, c_air, layers, t);

  const double f = m.winding.fill, solid = f * m.winding.density_kg_m3;
  const double gap = 1.0 - f, heat = solid * m.polymer.heat_capacity_j_kg_k;
  double vapour_in = 0.0, heat_in = 0.0, released = 0.0;
  for (int i = 0; i < layers; ++i) {
    const std::size_t k = index(i);
    double vapour_out = 0.0, heat_out = 0.0;
    if (i + 1 < layers) {
      // Equation 6: J = -g D_va grad c; equation 7: conduction; through one face.
      const double d = (t.pack_diffusivity[k] + t.pack_diffusivity[k + 1]) / 2.0;
      vapour_out = m.face_m[k] * d * (t.potential[k] - t.potential[k + 1]);
      heat_out = m.face_m[k] * m.properties.conductivity_w_mk *
                 (y.temperature()[i] - y.temperature()[i + 1]);
    }
    const double volume = m.volume_m3[k];
    const double to_air = t.air_w_k[k] * (y.temperature()[i] - air.temperature_k);
    rates.vapour()[i] =
        ((vapour_in - vapour_out - t.leaving[k]) / volume + solid * t.release[k]) /
        gap;  // Equation 6
    rates.temperature()[i] =
        ((heat_in - heat_out - to_air) / volume -
         solid * t.release[k] * latent_heat_j_kg(y.temperature()[i])) /
        heat;  // Equation 7
    released += t.leaving[k];
    vapour_in = vapour_out;
    heat_in = heat_out;
  }
  rates.released() = released;
  rates.chamber() = 0.0;
  // Equation 10, the box: V dc/dt = leaving + Q (c_in - c).
  if (around.chamber) {
    const Chamber& c = *around.chamber;
    rates.chamber() =
        (released + c.exchange_m3_s * (c.inlet_kg_m3 - y.chamber())) / c.volume_m3;
  }
}

}  // namespace drydepth
