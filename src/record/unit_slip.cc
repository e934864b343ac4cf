#include "record/unit_slip.h"

#include <cmath>

#include "base/numbers.h"

namespace drydepth {
namespace {

// The international ounce is 28.349523125 g, exactly.
constexpr double kOunce = 28.349523125;

struct Slip {
  double factor;         // on the reading, to what was meant
  const char* sentence;  // what it looks like
  const char* unit;      // to log the number with
  double shown;          // number to log, over the reading in g
  double digits;         // of that number, its inverse place
};

constexpr Slip kSlips[] = {
    {kOunce, "ounces", "oz", 1, 1e4},
    {1000, "kilograms", "kg", 1, 1e7},
    {1 / kOunce, "grams given as ounces", "g", 1 / kOunce, 10},
    {1 / 1000.0, "grams given as kilograms", "g", 1 / 1000.0, 1e4},
};

}  // namespace

std::optional<std::string> unit_slip(double gross_kg, double least_kg, double most_kg) {
  for (const Slip& slip : kSlips) {
    const double meant_kg = gross_kg * slip.factor;
    if (meant_kg < least_kg || meant_kg > most_kg) continue;
    const double number = gross_kg * 1000 * slip.shown;
    return std::string("that looks like ") + slip.sentence + ": log " +
           format_shortest(std::round(number * slip.digits) / slip.digits) + slip.unit;
  }
  return std::nullopt;
}

}  // namespace drydepth
