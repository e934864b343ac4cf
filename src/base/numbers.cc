#include "base/numbers.h"

#include <array>
#include <cassert>
#include <charconv>
#include <cmath>

namespace drydepth {

std::string format_fixed(double value, int decimals) {
  assert(std::isfinite(value) && decimals >= 0 && decimals <= 9);
  std::array<char, 400> buffer;  // 309 digits of the largest double, a point, a sign
  const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(),
                                          value, std::chars_format::fixed, decimals);
  assert(error == std::errc());
  std::string text(buffer.data(), end);
  const bool is_zero = text.find_first_not_of("-0.") == std::string::npos;
  if (is_zero && text.front() == '-') text.erase(0, 1);
  return text;
}

std::string format_shortest(double value) {
  assert(std::isfinite(value));
  std::array<char, 64> buffer;
  const auto [end, error] =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
  assert(error == std::errc());
  return std::string(buffer.data(), end);
}

std::optional<NumberAndRest> parse_leading_number(std::string_view text) {
  // from_chars refuses "+5" but takes "inf" and "nan"; people mean the opposite.
  std::string_view digits = text;
  if (digits.starts_with('+')) digits.remove_prefix(1);
  const std::size_t first = digits.starts_with('-') && digits.size() > 1 ? 1 : 0;
  if (first == 1 && text.starts_with('+')) return std::nullopt;
  if (digits.empty() ||
      std::string_view("0123456789.").find(digits[first]) == std::string_view::npos) {
    return std::nullopt;
  }
  NumberAndRest out;
  const char* end = digits.data() + digits.size();
  const auto [stop, error] = std::from_chars(digits.data(), end, out.value);
  if (error != std::errc()) return std::nullopt;
  out.rest = std::string_view(stop, static_cast<std::size_t>(end - stop));
  return out;
}

std::optional<double> parse_number(std::string_view text) {
  const std::optional<NumberAndRest> parsed = parse_leading_number(text);
  if (!parsed || !parsed->rest.empty()) return std::nullopt;
  return parsed->value;
}

std::string mass_text(double kg, int decimals) {
  return format_fixed(kg * 1000.0, decimals) + " g";
}

}  // namespace drydepth
