#pragma once

#include "moisture/pack_solver.h"
#include "record/record.h"

namespace drydepth {

/// Dry filament that is gone when the record begins, kg, of the winding as sold.
double gone_at_opening_kg(const Winding& winding, const OpenedRecord& opened);

/// Wound layers that a spool has when its record begins, of those of the winding as
/// sold.
int layers_at_opening(const Winding& winding, const OpenedRecord& opened);

/// Mean of the moisture by layer that a record opens with, weighted by dry mass, kg/kg.
/// As many layers as layers_at_opening; missing ones are left out.
double mean_of_layers(const Winding& winding, const OpenedRecord& opened);

/// The state a record starts from. Every layer has `content` (kg/kg), or what the
/// record states for it; `offset` is added everywhere, within 0 and saturation. Within
/// a strand the content is even and the gaps are in equilibrium with it: nothing is
/// stated of a strand's own profile. It evens out with r^2/(5.78 D_s), a week at 23 C
/// for 2e-13 m2/s (derived); until then a spool that was just dried takes up water at
/// its surface more slowly, and gives it off faster, than it did.
PackState opening_state(const PackSolver& solver, const OpenedRecord& opened,
                        double content, double offset, Kelvin temperature);

}  // namespace drydepth
