#pragma once

#include "moisture/pack_rates.h"

namespace drydepth {

/// Water in the strands and the gaps of the layers present, kg, full layers taken:
///   sum over layers of V (f rho X + (1 - f) w), the ledger of equations 5 and 6.
/// Test: pack_solver, "water is kept, gap vapour and what left included".
double water_kg(const PackModel& model, const PackState& state);

/// Mean content of a layer's strand, kg/kg.
double layer_content(const PackModel& model, const PackState& state, int layer);

/// Mean content of what remains, kg/kg, weighted by dry mass, the consumed part of the
/// outermost layer out. Test: consumption, "layers leave from the outside, each at its
/// own mass".
double mean_content(const PackModel& model, const PackState& state);

/// Mean content of the outermost dry mass, kg/kg; of the outermost layer for a mass of
/// 0, of all that remains for more than there is. Test: consumption, "the mean of the
/// outermost mass, across layers".
double outer_content(const PackModel& model, const PackState& state, double mass_kg);

/// Dry mass of what remains, kg.
double remaining_mass_kg(const PackModel& model, const PackState& state);

/// Dry mass still left of one layer, kg.
double remaining_mass_kg(const PackModel& model, const PackState& state, int layer);

/// Content at the strand's surface of a layer, in equilibrium with its gap, kg/kg:
/// docs/model.md, equations 3 and 5, dew taken as a = 1. Test: respool, "an even spool
/// stays even, and finds its gaps' air again".
double surface_content(const PackModel& model, const PackState& state, int layer);

/// Takes the outermost layer away with its water and its gap air: docs/model.md,
/// equation 11. Test: consumption; pack_solver, "water is kept, gap vapour and what
/// left included".
void drop_layer(const PackModel& model, PackState& state);

/// Takes a dry mass from outside at once, kg; all there is if that is less.
void take_from_outside(const PackModel& model, double mass_kg, PackState& state);

}  // namespace drydepth
