#include "base/json_text.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <set>
#include <vector>

#include "base/json_value.h"

namespace drydepth {
namespace {

constexpr std::size_t kLineWidth = 88;
constexpr int kMaxDepth = 32;  // writing recurses; records and rules need about 6

// What the parser accepts but we do not, watched while it runs.
struct Strictness {
  std::vector<std::set<std::string>> open_objects;
  std::optional<std::string> repeated_key;
  bool too_deep = false;

  void see(int depth, Json::parse_event_t event, const Json& parsed) {
    using Event = Json::parse_event_t;
    if (depth > kMaxDepth) too_deep = true;
    if (event == Event::object_start) open_objects.emplace_back();
    if (event == Event::object_end) open_objects.pop_back();
    if (event != Event::key) return;
    const std::string key = parsed.get<std::string>();
    const bool is_new = open_objects.back().insert(key).second;
    if (!is_new && !repeated_key) repeated_key = key;
  }
};

std::string place(std::string_view file, std::string_view text, std::size_t offset) {
  const std::string_view before = text.substr(0, std::min(offset, text.size()));
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const std::size_t start = before.rfind('\n');
  const std::size_t column =
      start == std::string_view::npos ? before.size() + 1 : before.size() - start;
  return std::string(file) + ":" + std::to_string(line) + ":" + std::to_string(column);
}

Error syntax_error(std::string_view file, std::string_view text, std::size_t byte,
                   const std::string& message) {
  const bool at_end = byte > text.size();
  if (at_end) {
    return {place(file, text, text.size()), "the JSON ends too early",
            "the file looks cut short; finish it or take it from a copy"};
  }
  // "... - unexpected X; expected Y": what stands behind the dash is for people.
  const std::size_t dash = message.find(" - ");
  std::string what =
      dash == std::string::npos ? "malformed text" : message.substr(dash + 3);
  for (std::size_t at = 0; (at = what.find("; ", at)) != std::string::npos;) {
    what.replace(at, 2, ", ");
  }
  return {place(file, text, byte == 0 ? 0 : byte - 1), "not valid JSON: " + what,
          "mend the text there"};
}

// Bytes that are no UTF-8 (a file's name may hold any) become U+FFFD.
std::string scalar(const Json& value) {
  return value.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string one_line(const Json& value) {
  if (!value.is_structured()) return scalar(value);
  std::string out(1, value.is_object() ? '{' : '[');
  for (auto it = value.begin(); it != value.end(); ++it) {
    if (it != value.begin()) out += ", ";
    if (value.is_object()) out += scalar(Json(it.key())) + ": ";
    out += one_line(*it);
  }
  return out += value.is_object() ? '}' : ']';
}

// `column` is where the value starts, a comma behind it included.
void write(const Json& value, std::size_t indent, std::size_t column,
           std::string& out) {
  const std::string line = one_line(value);
  if (!value.is_structured() || value.empty() || column + line.size() <= kLineWidth) {
    out += line;
    return;
  }
  out += value.is_object() ? '{' : '[';
  for (auto it = value.begin(); it != value.end(); ++it) {
    if (it != value.begin()) out += ',';
    out += '\n' + std::string(indent + 1, ' ');
    const std::string key = value.is_object() ? scalar(Json(it.key())) + ": " : "";
    out += key;
    write(*it, indent + 1, indent + 2 + key.size(), out);
  }
  out += '\n' + std::string(indent, ' ');
  out += value.is_object() ? '}' : ']';
}

}  // namespace

Result<Json> parse_json(std::string_view text, std::string_view file) {
  Strictness strictness;
  const Json::parser_callback_t watch = [&](int depth, Json::parse_event_t event,
                                            Json& parsed) {
    strictness.see(depth, event, parsed);
    return true;
  };
  Json value;
  try {
    value = Json::parse(text.begin(), text.end(), watch);
  } catch (const Json::parse_error& error) {
    return syntax_error(file, text, error.byte, error.what());
  } catch (const Json::exception&) {  // a number beyond the range of double
    return Error{std::string(file), "a number in it is too large",
                 "write numbers below 1e308"};
  }
  if (strictness.too_deep) {
    return Error{std::string(file), "it is nested deeper than any file of this kind",
                 "check that it is the right file"};
  }
  if (strictness.repeated_key) {
    return Error{
        std::string(file),
        "the key \"" + *strictness.repeated_key + "\" stands twice in one object",
        "remove one of the two"};
  }
  return value;
}

std::string pretty_json(const Json& value) {
  std::string out;
  write(value, 0, 0, out);
  return out += '\n';
}

Json number_json(double value) {
  constexpr double kExact = 9007199254740992;  // 2^53: whole doubles beyond have gaps
  const bool whole = std::floor(value) == value && std::abs(value) < kExact;
  return whole ? Json(static_cast<std::int64_t>(value)) : Json(value);
}

}  // namespace drydepth
