#include "gcode/edit/respell.h"

#include <algorithm>

#include "gcode/machine/line.h"

namespace drydepth {
namespace {

constexpr std::size_t kMostDigits = 15;  // with three decimals more still in 64 bits

struct Spelled {
  bool negative = false, plus = false;
  std::string_view whole, decimals;
};

bool all_digits(std::string_view text) {
  return std::all_of(text.begin(), text.end(),
                     [](char c) { return c >= '0' && c <= '9'; });
}

std::optional<Spelled> read_spelled(std::string_view text) {
  Spelled out;
  out.negative = text.starts_with('-');
  out.plus = text.starts_with('+');
  if (out.negative || out.plus) text.remove_prefix(1);
  const auto point = text.find('.');
  out.whole = text.substr(0, point);
  if (point != text.npos) out.decimals = text.substr(point + 1);
  const std::size_t digits = out.whole.size() + out.decimals.size();
  const bool open_end = point != text.npos && out.decimals.empty();
  if (digits == 0 || digits > kMostDigits || open_end) return std::nullopt;
  if (!all_digits(out.whole) || !all_digits(out.decimals)) return std::nullopt;
  return out;
}

std::int64_t power_of_ten(std::size_t n) {
  std::int64_t out = 1;
  while (n-- > 0) out *= 10;
  return out;
}

std::int64_t digits_value(std::string_view digits) {
  std::int64_t out = 0;
  for (const char c : digits) out = out * 10 + (c - '0');
  return out;
}

}  // namespace

std::optional<std::string> shifted_number(std::string_view number,
                                          std::int64_t thousandths) {
  const auto was = read_spelled(number);
  if (!was) return std::nullopt;
  const std::size_t places = std::max<std::size_t>(was->decimals.size(), 3);
  const std::int64_t one = power_of_ten(places);
  std::int64_t value =
      digits_value(was->whole) * one +
      digits_value(was->decimals) * power_of_ten(places - was->decimals.size());
  if (was->negative) value = -value;
  value += thousandths * power_of_ten(places - 3);

  const std::int64_t size = value < 0 ? -value : value;
  std::string decimals = std::to_string(size % one);
  decimals.insert(0, places - decimals.size(), '0');
  while (decimals.size() > was->decimals.size() && decimals.back() == '0') {
    decimals.pop_back();
  }
  const std::int64_t whole = size / one;
  const bool bare_point = was->whole.empty() && whole == 0 && !decimals.empty();
  std::string out = value < 0 ? "-" : was->plus ? "+" : "";
  if (!bare_point) out += std::to_string(whole);
  if (!decimals.empty()) out += "." + decimals;
  return out;
}

NumberSpan find_number(std::string_view line, char word) {
  const std::string_view words = line.substr(0, line.find(';'));
  const auto letter = words.find(word);
  if (letter == words.npos) return {};
  // Of two the last one counts for some readers, the first for others.
  if (words.find(word, letter + 1) != words.npos) return {};
  const auto from = words.find_first_not_of(" \t", letter + 1);
  if (from == words.npos) return {};
  const char* const begin = words.data() + from;
  const Decimal read = read_decimal(begin, words.data() + words.size());
  return {from, static_cast<std::size_t>(read.end - begin)};
}

}  // namespace drydepth
