#include "record/typed/joined_words.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/numbers.h"
#include "record/typed/quantity.h"

namespace drydepth {
namespace {

constexpr std::array<std::string_view, 19> kUnits = {
    "g", "kg", "mg",  "oz", "lb", "C",   "F", "K", "°C", "°F",
    "%", "rh", "%rh", "h",  "d",  "min", "s", "m", "mm"};

bool is_bare_number(std::string_view word) {
  const auto number = parse_leading_number(word);
  return number && number->rest.empty();
}

bool belongs_to_number(std::string_view before, std::string_view word) {
  return is_bare_number(before) &&
         std::find(kUnits.begin(), kUnits.end(), word) != kUnits.end();
}

bool belongs_to_temperature(std::string_view before, std::string_view word) {
  return parse_temperature_k(before) && parse_activity(word);
}

using Belongs = bool(std::string_view before, std::string_view word);

std::vector<std::string> joined(std::span<const std::string> words, Belongs* belongs,
                                std::string_view between) {
  std::vector<std::string> out;
  for (const std::string& word : words) {
    if (out.size() > 1 && belongs(out.back(), word)) {
      out.back().append(between).append(word);
    } else {
      out.push_back(word);
    }
  }
  return out;
}

}  // namespace

std::vector<std::string> joined_words(std::span<const std::string> words) {
  return joined(joined(words, belongs_to_number, ""), belongs_to_temperature, "/");
}

}  // namespace drydepth
