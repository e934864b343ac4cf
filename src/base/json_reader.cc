#include "base/json_reader.h"

#include <cmath>
#include <utility>

#include "base/json_value.h"
#include "base/nearest.h"
#include "base/numbers.h"

namespace drydepth {
namespace {

// RFC 6901: "~" and "/" in a key are written "~0" and "~1".
std::string pointer_token(std::string_view key) {
  std::string out = "/";
  for (const char c : key) {
    if (c == '~') {
      out += "~0";
    } else if (c == '/') {
      out += "~1";
    } else {
      out += c;
    }
  }
  return out;
}

std::string shown(const Json& value) {
  constexpr std::size_t kLongest = 40;
  if (value.is_object()) return "an object";
  if (value.is_array()) return "an array";
  std::string text = value.dump();
  if (text.size() <= kLongest) return text;
  std::size_t end = kLongest;
  while (end > 0 && (text[end] & 0xC0) == 0x80) --end;  // not inside a UTF-8 character
  return text.substr(0, end) + "...";
}

std::string expectation(const NumberRule& rule) {
  std::string out = "a number";
  if (!rule.unit.empty()) out += " of " + std::string(rule.unit);
  const bool no_maximum = std::isinf(rule.max);
  const std::string min = format_shortest(rule.min);
  if (rule.above_min) out += " above " + min;
  if (no_maximum) return rule.above_min ? out : out + ", " + min + " or more";
  const std::string max = format_shortest(rule.max);
  return out + (rule.above_min ? " up to " + max : " from " + min + " to " + max);
}

bool in_range(double value, const NumberRule& rule) {
  return (rule.above_min ? value > rule.min : value >= rule.min) && value <= rule.max;
}

std::string write_example(std::string_view example) {
  return "write e.g. " + std::string(example);
}

// "looks like metres: write 1.75" where the value would fit in another unit.
std::string range_hint(double value, const NumberRule& rule) {
  const double converted = value * rule.slip_factor;
  const bool slipped = !rule.slip_unit.empty() && in_range(converted, rule);
  if (!slipped) return write_example(rule.example);
  // Six digits are enough for a hint and hide the product's rounding.
  const double digits = std::pow(10.0, 5 - std::floor(std::log10(std::abs(converted))));
  const double rounded = std::round(converted * digits) / digits;
  return "that looks like " + std::string(rule.slip_unit) + ": write " +
         format_shortest(rounded);
}

const Json& empty_object() {
  static const Json empty = Json::object();
  return empty;
}

}  // namespace

JsonReader::JsonReader(const Json& value, JsonErrors& errors, std::string pointer)
    : value_(&value), errors_(&errors), pointer_(std::move(pointer)) {
  if (value.is_object()) return;
  fail("", "expected an object, got " + shown(value), "write { ... } there");
  value_ = &empty_object();
}

const Json* JsonReader::find(std::string_view key) const {
  const auto it = value_->find(std::string(key));
  return it == value_->end() || it->is_null() ? nullptr : &*it;
}

bool JsonReader::has(std::string_view key) const { return find(key) != nullptr; }

std::string JsonReader::pointer_to(std::string_view key) const {
  return key.empty() ? pointer_ : pointer_ + pointer_token(key);
}

void JsonReader::fail(std::string_view key, std::string what, std::string hint) {
  if (failed()) return;
  const std::string pointer = pointer_to(key);
  const std::string where =
      pointer.empty() ? errors_->file : errors_->file + " " + pointer;
  errors_->first = Error{where, std::move(what), std::move(hint)};
}

void JsonReader::fail_type(std::string_view key, const std::string& expected,
                           std::string_view example) {
  const Json* found = find(key);
  const std::string what = found == nullptr
                               ? expected + " is missing"
                               : "expected " + expected + ", got " + shown(*found);
  fail(key, what, write_example(example));
}

double JsonReader::checked(std::string_view key, const Json& found,
                           const NumberRule& rule) {
  if (!found.is_number()) {
    fail_type(key, expectation(rule), rule.example);
    return rule.max;
  }
  const double value = found.get<double>();
  if (!in_range(value, rule)) {
    fail(key, "expected " + expectation(rule) + ", got " + shown(found),
         range_hint(value, rule));
  }
  return value;
}

double JsonReader::number(std::string_view key, const NumberRule& rule) {
  const Json* found = find(key);
  if (found != nullptr) return checked(key, *found, rule);
  fail_type(key, expectation(rule), rule.example);
  return rule.max;
}

std::optional<double> JsonReader::optional_number(std::string_view key,
                                                  const NumberRule& rule) {
  const Json* found = find(key);
  if (found == nullptr) return std::nullopt;
  return checked(key, *found, rule);
}

std::vector<double> JsonReader::optional_numbers(std::string_view key,
                                                 const NumberRule& rule) {
  const Json* found = find(key);
  if (found == nullptr) return {};
  const std::string example = "[" + std::string(rule.example) + "]";
  if (!found->is_array()) {
    fail_type(key, "an array of numbers", example);
    return {};
  }
  if (found->empty()) {
    fail(key, "this array has no number in it", write_example(example));
    return {};
  }
  // As an object with the indices for keys, so that an error points to its element.
  Json indexed = Json::object();
  for (std::size_t i = 0; i < found->size(); ++i) {
    indexed[std::to_string(i)] = (*found)[i];
  }
  JsonReader elements(indexed, *errors_, pointer_to(key));
  std::vector<double> out;
  for (std::size_t i = 0; i < found->size(); ++i) {
    out.push_back(elements.number(std::to_string(i), rule));
  }
  return out;
}

std::string JsonReader::text(std::string_view key, std::string_view expected,
                             std::string_view example) {
  const Json* found = find(key);
  const bool usable = found != nullptr && found->is_string() &&
                      !found->get_ref<const std::string&>().empty();
  if (usable) return found->get<std::string>();
  fail_type(key, std::string(expected), "\"" + std::string(example) + "\"");
  return {};
}

std::optional<std::string> JsonReader::optional_text(std::string_view key,
                                                     std::string_view expected,
                                                     std::string_view example) {
  if (!has(key)) return std::nullopt;
  return text(key, expected, example);
}

std::string JsonReader::choice(std::string_view key,
                               const std::vector<std::string>& words) {
  const Json* found = find(key);
  if (found == nullptr || !found->is_string()) {
    fail_type(key, "one of " + join_words(words), "\"" + words.front() + "\"");
    return words.front();
  }
  const std::string word = found->get<std::string>();
  for (const std::string& known : words) {
    if (word == known) return word;
  }
  fail(key, "unknown word \"" + word + "\"", did_you_mean(word, words));
  return words.front();
}

bool JsonReader::flag_or(std::string_view key, bool fallback) {
  const Json* found = find(key);
  if (found == nullptr) return fallback;
  if (found->is_boolean()) return found->get<bool>();
  fail_type(key, "true or false", "true");
  return fallback;
}

JsonReader JsonReader::object(std::string_view key) {
  const Json* found = find(key);
  if (found == nullptr) {
    fail(key, "this object is missing", "write { ... } there");
    return {empty_object(), *errors_, pointer_to(key)};
  }
  return {*found, *errors_, pointer_to(key)};
}

std::optional<JsonReader> JsonReader::optional_object(std::string_view key) {
  if (!has(key)) return std::nullopt;
  return object(key);
}

std::vector<JsonReader> JsonReader::objects(std::string_view key) {
  const Json* found = find(key);
  if (found == nullptr || !found->is_array()) {
    fail_type(key, "an array", "[]");
    return {};
  }
  std::vector<JsonReader> out;
  for (std::size_t i = 0; i < found->size(); ++i) {
    out.emplace_back((*found)[i], *errors_, pointer_to(key) + "/" + std::to_string(i));
  }
  return out;
}

void JsonReader::only_keys(const std::vector<std::string>& known) {
  for (const auto& [key, value] : value_->items()) {
    bool is_known = false;
    for (const std::string& name : known) is_known = is_known || name == key;
    if (!is_known) fail(key, "unknown key", did_you_mean(key, known));
  }
}

}  // namespace drydepth
