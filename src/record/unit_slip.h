#pragma once

#include <optional>
#include <string>

namespace drydepth {

/// The unit that a reading was most likely given in, as a hint that says what to log:
/// the first of ounce, kilogram and their inverses by which it comes to lie between the
/// least and the most that are possible. Nothing where none does.
std::optional<std::string> unit_slip(double gross_kg, double least_kg, double most_kg);

}  // namespace drydepth
