#pragma once

#include <string>

namespace CLI {
class Option;
}

namespace drydepth {

enum class Measure { kMillimetres, kGrams, kPercent, kCelsius };

/// Lets an option that takes a number take it with a unit as well: 55, 55mm, 5.5cm;
/// 1000, 1000g, 1kg; 2.8, 2.8%; 23, 23C, 73F. Without one it is the measure's own.
void take_unit(CLI::Option* option, Measure measure);

}  // namespace drydepth
