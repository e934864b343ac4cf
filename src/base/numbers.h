#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace drydepth {

/// A number with a fixed count of decimals (0 to 9), a point and no grouping, whatever
/// the locale. A value that rounds to zero has no sign. The value must be finite.
std::string format_fixed(double value, int decimals);

/// The shortest decimal text that reads back to the same double. Must be finite.
std::string format_shortest(double value);

/// The number a whole text stands for, a leading "+" allowed; nothing when anything
/// else stands in it (spaces, units, "inf", "nan", hexadecimals) or it leaves the range
/// of double.
std::optional<double> parse_number(std::string_view text);

/// A number at the start of a text and what stands behind it, as in "82C".
struct NumberAndRest {
  double value = 0;
  std::string_view rest;
};
std::optional<NumberAndRest> parse_leading_number(std::string_view text);

/// A mass in grams with its unit: "1204.6 g".
std::string mass_text(double kg, int decimals = 1);

}  // namespace drydepth
