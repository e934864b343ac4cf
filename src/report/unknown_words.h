#pragma once

// The unknowns of an ensemble as people and JSON see them, in the order of kUnknowns.

#include <array>

#include "inference/ensemble.h"
#include "spool/spool.h"

namespace drydepth {

/// How one unknown is shown. Its number is the member's factor or offset, those with a
/// central value of their own that value with it.
struct UnknownWords {
  const char* key;   ///< in JSON, with its unit
  const char* name;  ///< for people
  const char* unit;  ///< behind the number; "x": it is a factor, and x stands before it
  double scale;
  int decimals;
  double parameter_step;  ///< to which "parameters" in JSON is rounded; 0: not there
};

constexpr std::array<UnknownWords, kUnknowns.size()> kUnknownWords = {{
    {"gap_factor", "gap factor", "", 1, 3, 0.0001},
    {"diffusivity_m2_s", "strand diffusivity", "x", 1, 2, 1e-16},
    {"film_factor", "film to the air", "x", 1, 2, 0.001},
    {"side_w_m2k", "flanges' heat", "x", 1, 2, 0.001},
    {"isotherm_slope", "isotherm", "x", 1, 2, 0.00001},
    {"heat_of_mixing_j_mol", "heat of mixing", "kJ/mol", 1e-3, 1, 1},
    {"opening_percent", "moisture at opening", "%", 100, 2, 0},
    {"dryer_air_offset_k", "dryer's air", "K", 1, 1, 0.01},
    {"body_time_factor", "body's water", "x", 1, 2, 0},
    {"dry_mass_factor", "mass of filament", "x", 1, 3, 0.0001},
    {"tare_g", "tare", "g", 1000, 1, 0},
    {"used_sd", "grams printed", "sd", 1, 1, 0},
    {"scale_drift_g_day", "scale's drift", "g/day", 1000, 2, 0},
}};

// One row an unknown, the last one too.
static_assert(kUnknownWords.back().key != nullptr);

/// What an unknown's factor or offset is of: the record's own value or the rules', SI;
/// 1 for a factor and 0 for an offset without one.
double central_value(std::size_t unknown, const Spool& spool);

/// A member's factor times it, or offset added to it.
double full_value(std::size_t unknown, const Spool& spool, const Member& member);

}  // namespace drydepth
