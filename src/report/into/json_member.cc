#include "report/into/json_member.h"

#include <algorithm>
#include <cassert>
#include <optional>

#include "base/json_value.h"

namespace drydepth {
namespace {

constexpr std::string_view kBlanks = " \t\r\n";
constexpr std::size_t kShort = 80;  // a value without parts of its own stays on a line

// A stretch of the text, [start, end).
struct Span {
  std::size_t start = 0, end = 0;
};

struct JsonMember {
  Span key{}, value{};
};

// Reads on in text that is known to be JSON.
class Cursor {
 public:
  Cursor(std::string_view text, std::size_t at) : text_(text), at_(at) {}

  char here() const { return text_[at_]; }
  std::size_t at() const { return at_; }
  void step() { ++at_; }
  void skip_blanks() { at_ = std::min(text_.find_first_not_of(kBlanks, at_), end()); }

  Span value() {
    const std::size_t start = at_;
    if (here() == '"') {
      skip_string();
    } else if (here() == '{' || here() == '[') {
      skip_nested();
    } else {
      at_ = std::min(text_.find_first_of(" \t\r\n,]}", at_), end());
    }
    return {start, at_};
  }

 private:
  std::size_t end() const { return text_.size(); }

  void skip_string() {
    for (++at_; here() != '"'; ++at_) {
      if (here() == '\\') ++at_;
    }
    ++at_;
  }
  void skip_nested() {
    std::size_t depth = 0;
    do {
      if (here() == '"') {
        skip_string();
        continue;
      }
      if (here() == '{' || here() == '[') ++depth;
      if (here() == '}' || here() == ']') --depth;
      ++at_;
    } while (depth > 0);
  }

  std::string_view text_;
  std::size_t at_;
};

struct Object {
  std::size_t open = 0, close = 0;  // where its braces stand
  std::vector<JsonMember> members{};
};

Object read_object(std::string_view text) {
  Object out{.open = text.find('{')};
  Cursor cursor(text, out.open + 1);
  cursor.skip_blanks();
  while (cursor.here() != '}') {
    JsonMember member;
    member.key = cursor.value();
    cursor.skip_blanks();
    cursor.step();  // the colon
    cursor.skip_blanks();
    member.value = cursor.value();
    out.members.push_back(member);
    cursor.skip_blanks();
    if (cursor.here() == ',') cursor.step();
    cursor.skip_blanks();
  }
  out.close = cursor.at();
  return out;
}

// How the document is laid out, by its first member.
struct Layout {
  bool lines = true;            // a member a line
  std::string next = "\n";      // line end
  std::string outer{}, unit{};  // indentation of the object, and one step further
  std::string colon = ": ";
  std::string comma = ", ";  // within a line
};

// The blanks between the line's start and `at`; nothing where more than blanks stand.
std::optional<std::string> indent_at(std::string_view text, std::size_t at) {
  const std::size_t line = at == 0 ? 0 : text.rfind('\n', at - 1) + 1;
  const std::string_view lead = text.substr(line, at - line);
  if (lead.find_first_not_of(" \t") != std::string_view::npos) return std::nullopt;
  return std::string(lead);
}

Layout layout_of(std::string_view text, const Object& object) {
  Layout out;
  const std::size_t first_line = text.find('\n');
  if (first_line != std::string_view::npos && first_line > 0 &&
      text[first_line - 1] == '\r') {
    out.next = "\r\n";
  }
  out.outer = indent_at(text, object.open).value_or("");
  out.unit = "  ";
  if (object.members.empty()) return out;
  const JsonMember& first = object.members.front();
  const auto indent = indent_at(text, first.key.start);
  out.lines = indent.has_value() && first.key.start > object.open + 1 &&
              text.substr(object.open, first.key.start - object.open).find('\n') !=
                  std::string_view::npos;
  if (out.lines && indent->starts_with(out.outer)) {
    out.unit = indent->substr(out.outer.size());
  }
  const std::string_view gap =
      text.substr(first.key.end, first.value.start - first.key.end);
  out.colon = gap.ends_with(' ') ? ": " : ":";
  out.comma = gap.ends_with(' ') ? ", " : ",";
  return out;
}

std::string ascii_dump(const Json& value) {
  return value.dump(-1, ' ', true, Json::error_handler_t::replace);
}

bool has_parts(const Json& value) {
  return std::any_of(value.begin(), value.end(),
                     [](const Json& part) { return part.is_structured(); });
}

std::string written(const Json& value, const Layout& layout, const std::string& indent);

// Members or elements, each behind `gap`.
std::string parts(const Json& value, const Layout& layout, const std::string& indent,
                  const std::string& gap, const std::string& comma) {
  std::string out;
  for (auto it = value.begin(); it != value.end(); ++it) {
    out += (it == value.begin() ? "" : comma) + gap;
    if (value.is_object()) out += ascii_dump(it.key()) + layout.colon;
    out += written(*it, layout, indent);
  }
  return out;
}

std::string written(const Json& value, const Layout& layout,
                    const std::string& indent) {
  if (!value.is_structured()) return ascii_dump(value);
  const char open = value.is_object() ? '{' : '[';
  const char close = value.is_object() ? '}' : ']';
  const std::string line = open + parts(value, layout, "", "", layout.comma) + close;
  if (!layout.lines || value.empty()) return line;
  if (!has_parts(value) && line.size() <= kShort) return line;
  const std::string inner = indent + layout.unit;
  return open + parts(value, layout, inner, layout.next + inner, ",") + layout.next +
         indent + close;
}

// The text with a stretch of it put anew.
std::string replaced(std::string_view text, Span span, const std::string& by) {
  return std::string(text.substr(0, span.start)) + by +
         std::string(text.substr(span.end));
}

bool is_key(std::string_view text, Span span, std::string_view key) {
  const auto read =
      Json::parse(text.substr(span.start, span.end - span.start), nullptr, false);
  return read.is_string() && read.get_ref<const std::string&>() == key;
}

}  // namespace

Result<std::string> put_json_member(std::string_view text, std::string_view file,
                                    std::string_view key, const Json& value) {
  const auto parsed = parse_json(text, file);
  if (!parsed) return parsed.error();
  if (!parsed->is_object()) {
    return Error{std::string(file),
                 "the document is no JSON object and cannot take the key \"" +
                     std::string(key) + "\"",
                 "give one that begins with {"};
  }
  const Object object = read_object(text);
  const Layout layout = layout_of(text, object);
  const std::string indent = layout.lines ? layout.outer + layout.unit : "";
  for (const JsonMember& member : object.members) {
    if (is_key(text, member.key, key)) {
      return replaced(text, member.value, written(value, layout, indent));
    }
  }
  const std::string gap = layout.lines ? layout.next + indent : "";
  const std::string entry =
      gap + ascii_dump(key) + layout.colon + written(value, layout, indent);
  if (!object.members.empty()) {
    const std::size_t end = object.members.back().value.end;
    return replaced(text, {end, end}, (layout.lines ? "," : layout.comma) + entry);
  }
  const std::string_view inside =
      text.substr(object.open + 1, object.close - object.open - 1);
  const bool has_line = inside.find('\n') != std::string_view::npos;
  return replaced(text, {object.open + 1, object.open + 1},
                  entry + (has_line ? "" : layout.next + layout.outer));
}

}  // namespace drydepth
