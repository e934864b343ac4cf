#include "cli/command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <span>

#include "base/numbers.h"

namespace drydepth {
namespace {

// value = (number - offset) * factor
struct Unit {
  const char* name;
  double factor;
  double offset = 0;
};

struct Kind {
  const char* expected;
  std::span<const Unit> units;  // the first is the measure's own
};

constexpr Unit kLengths[] = {{"mm", 1}, {"cm", 10}, {"m", 1000}, {"in", 25.4}};
// The international pound of 1959 is 453.59237 g, exactly.
constexpr Unit kMasses[] = {
    {"g", 1}, {"kg", 1000}, {"oz", 453.59237 / 16}, {"lb", 453.59237}};
constexpr Unit kShares[] = {{"%", 1}};
constexpr Unit kTemperatures[] = {{"c", 1}, {"°c", 1}, {"f", 1 / 1.8, 32}};

Kind kind_of(Measure measure) {
  switch (measure) {
    case Measure::kMillimetres:
      return {"a length, e.g. 55mm", kLengths};
    case Measure::kGrams:
      return {"a mass, e.g. 1000g", kMasses};
    case Measure::kPercent:
      return {"a share, e.g. 2.8%", kShares};
    case Measure::kCelsius:
      return {"a temperature, e.g. 23C", kTemperatures};
  }
  return {};
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

// The word in the measure's own unit, or what should have stood there.
std::string settle(std::string& word, const Kind& kind) {
  const auto number = parse_leading_number(word);
  if (number && number->rest.empty()) return {};
  const std::string name = number ? lower(number->rest) : "";
  const auto unit = std::find_if(kind.units.begin(), kind.units.end(),
                                 [&](const Unit& u) { return name == u.name; });
  if (unit == kind.units.end()) {
    return "expected " + std::string(kind.expected) + ", got \"" + word + "\"";
  }
  // What a factor leaves in the last digits was not typed.
  const double value = (number->value - unit->offset) * unit->factor;
  word = format_shortest(std::round(value * 1e6) / 1e6);
  return {};
}

}  // namespace

Option Option::envname(const std::string& variable) {
  option_->envname(variable);
  return *this;
}

Option Option::type_name(const std::string& name) {
  option_->type_name(name);
  return *this;
}

Option Option::required() {
  option_->required();
  return *this;
}

Option Option::capture_default_str() {
  option_->capture_default_str();
  return *this;
}

Option Option::default_str(const std::string& words) {
  option_->default_str(words);
  return *this;
}

Option Option::repeated() {
  option_->allow_extra_args(false);
  return *this;
}

Option Option::delimiter(char between_values) {
  option_->delimiter(between_values);
  return *this;
}

Option Option::between(std::size_t least, std::size_t most) {
  option_->check(CLI::Range(least, most));
  return *this;
}

Option Option::hidden() {
  option_->group("");
  return *this;
}

Option Option::measure(Measure measure) {
  option_->transform(CLI::Validator(
      [kind = kind_of(measure)](std::string& word) { return settle(word, kind); }, ""));
  return *this;
}

Option Command::add_option(const std::string& names, std::string& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, std::vector<std::string>& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, std::size_t& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, unsigned& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, double& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, std::vector<double>& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, std::optional<int>& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, std::optional<std::size_t>& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_option(const std::string& names, std::optional<double>& value,
                           const std::string& help) {
  return Option(parser_->add_option(names, value, help));
}

Option Command::add_flag(const std::string& names, bool& value,
                         const std::string& help) {
  return Option(parser_->add_flag(names, value, help));
}

}  // namespace drydepth
