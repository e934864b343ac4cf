#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "record/record.h"
#include "rules/materials.h"

namespace drydepth {

/// Dry filament that a finding used up, kg: the piece itself, the length pushed out.
/// What a coupon takes is a print.
double used_by_kg(const Event& event, double filament_diameter_m, double density_kg_m3);

/// The piece at an index as it cannot be: more water than the material holds at
/// saturation, or more filament than the spool has left, kg.
std::optional<Error> impossible_piece(const SpoolRecord& record, std::size_t event,
                                      const Material& material, double left_kg);

/// What is odd about a piece that is to be logged, a sentence each: a scale too coarse
/// for it, a temperature that the material does not stand. Nothing for other events.
std::vector<std::string> finding_doubts(const Event& event, const Material& material);

}  // namespace drydepth
