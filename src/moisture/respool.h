#pragma once

// Filament wound over to another body: docs/model.md, equation 13.
//
// The outer end leaves first and becomes the innermost wrap, so the order of the strand
// is turned: what was at the hub, the wettest after drying, is now outside. Each piece
// of strand keeps the water of its shells; where a new layer holds pieces of several
// old ones it takes their mean by mass, so that water is kept to rounding and a
// profile is smoothed over one layer. The gaps open on the way: their air is the
// room's afterwards, and the strand, thin and in moving air, has the room's temperature
// (a lone strand of 1.75 mm cools with rho c d/(4 h), about 80 s at 10 W/(m2 K);
// derived). What the strand exchanges in the minutes between the two bodies is left
// out: left alone in the room for a quarter of an hour it would go 3.5 % of its way to
// the room, (4/sqrt(pi)) sqrt(D_s t)/r at 2e-13 m2/s (Crank's short-time form;
// derived).

#include <optional>

#include "moisture/pack_rates.h"

namespace drydepth {

/// The new body's place for the filament; what is absent stays as it was.
struct RewindFacts {
  std::optional<double> hub_radius_m{};
  std::optional<double> width_m{};
  /// Absent: follows from the mass at the fill of the winding before.
  std::optional<double> outer_radius_m{};
};

/// The winding that a dry mass (above 0) of the same strand makes on the new body.
/// Without a new outer radius: r_o^2 = r_h^2 + m/(f rho pi W), f as before
/// (docs/model.md, "Geometry"). Test: respool, "a rewound winding holds the mass".
Winding rewound(const Winding& before, double dry_kg, const RewindFacts& facts);

/// The state after winding all that is left over. `to` is a model with as many shells,
/// whose winding holds that mass (rewound). The ledger of water gone (removed_kg) takes
/// the gaps' difference and what was already used of the outermost layer.
/// docs/model.md, equation 13 (derived). Test: respool, "water goes with the filament",
/// "the order is turned, strand by strand" and "two turns give the profile back,
/// smoothed by less than a layer".
PackState respool(const PackModel& from, const PackState& state, const PackModel& to,
                  const Air& air);

}  // namespace drydepth
