#include "gcode/machine/line.h"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace drydepth {
namespace {

constexpr std::array<double, 23> kPowersOfTen = {
    1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
    1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

// Beyond any machine's position; such a word must not poison the sums.
constexpr double kLargestWord = 1e9;

constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }
constexpr bool is_blank(char c) { return c == ' ' || c == '\t'; }
constexpr char to_upper(char c) {
  return c >= 'a' && c <= 'z' ? static_cast<char>(c - 32) : c;
}
constexpr bool is_letter(char c) { return to_upper(c) >= 'A' && to_upper(c) <= 'Z'; }

const char* skip_blanks(const char* p, const char* end) {
  while (p != end && is_blank(*p)) ++p;
  return p;
}

/// More digits than a 64-bit integer holds exactly; rare enough to leave to the
/// library. [begin, end) is digits with at most one point.
double read_long_decimal(const char* begin, const char* end) {
  double value = 0;
  const auto read = std::from_chars(begin, end, value, std::chars_format::fixed);
  if (read.ec != std::errc::result_out_of_range) return value;
  const char* const first = std::find_if(begin, end, [](char c) { return c != '0'; });
  return first != end && *first == '.' ? 0.0 : HUGE_VAL;
}

// The digits as an integer, divided by a power of ten: both exact below 2^53 and up to
// 1e22, so that IEEE division rounds correctly once (Clinger, "How to read floating
// point numbers accurately", PLDI 1990, section 3).
inline Decimal read_number(const char* begin, const char* end) {
  constexpr std::uint64_t kExactLimit = std::uint64_t{1} << 53;
  constexpr std::ptrdiff_t kMostDigits = 19;  // of a 64-bit integer, leading zeros too
  const char* p = begin;
  const bool negative = p != end && *p == '-';
  if (p != end && (*p == '-' || *p == '+')) ++p;
  const char* const first = p;
  std::uint64_t digits = 0;
  while (p != end && is_digit(*p)) {
    digits = digits * 10 + static_cast<std::uint64_t>(*p++ - '0');
  }
  std::ptrdiff_t count = p - first;
  std::ptrdiff_t decimals = 0;
  if (p != end && *p == '.') {
    const char* const point = p++;
    while (p != end && is_digit(*p)) {
      digits = digits * 10 + static_cast<std::uint64_t>(*p++ - '0');
    }
    decimals = p - point - 1;
    count += decimals;
  }
  if (count == 0) return {0, begin};
  double value = 0;
  if (count <= kMostDigits && digits <= kExactLimit) {
    value = static_cast<double>(static_cast<std::int64_t>(digits));
    if (decimals != 0) value /= kPowersOfTen[static_cast<std::size_t>(decimals)];
  } else {
    value = read_long_decimal(first, p);
  }
  return {negative ? -value : value, p};
}

/// Behind a group that begins at p: "( )", "{ }" or " ". One that never closes ends
/// with the line.
const char* skip_group(const char* p, const char* end) {
  const char open = *p;
  const char close = open == '(' ? ')' : open == '{' ? '}' : '"';
  int depth = 0;
  for (; p != end; ++p) {
    if (open != close && *p == open) ++depth;
    if (*p == close && (open == close ? ++depth == 2 : --depth == 0)) return p + 1;
  }
  return end;
}

constexpr bool opens_group(char c) { return c == '(' || c == '{' || c == '"'; }

/// Commands whose rest is text for people or a file name.
bool carries_text(const Command& c) {
  if (c.letter != 'M') return false;
  switch (c.number) {
    case 0:
    case 1:
    case 16:
    case 23:
    case 28:
    case 30:
    case 32:
    case 36:
    case 70:
    case 71:
    case 117:
    case 118:
    case 291:
    case 471:
    case 928:
      return true;
    default:
      return false;
  }
}

void keep_comment(const char* p, const char* end, Command& out) {
  const std::string_view rest(p, static_cast<std::size_t>(end - p));
  const auto at = rest.find(';');
  if (at != rest.npos) out.comment = rest.substr(at + 1);
}

}  // namespace

std::optional<int> Command::integer(char word) const {
  if (!has(word) || std::abs(value(word)) > 1e6) return std::nullopt;
  return static_cast<int>(value(word));
}

Decimal read_decimal(const char* begin, const char* end) {
  return read_number(begin, end);
}

void parse_words(const char* p, const char* end, Command& out) {
  while (p != end) {
    const char c = *p;
    if (c == ';') {
      out.comment = std::string_view(p + 1, static_cast<std::size_t>(end - p - 1));
      return;
    }
    if (opens_group(c)) {
      p = skip_group(p, end);
      continue;
    }
    ++p;
    if (!is_letter(c)) continue;
    const std::uint32_t bit = Command::bit(to_upper(c));
    out.mentioned_ |= bit;
    const char* const start = skip_blanks(p, end);
    const Decimal number = read_number(start, end);
    if (number.end == start) continue;
    p = number.end;
    if (!(std::abs(number.value) < kLargestWord)) continue;
    out.values_[Command::index(to_upper(c))] = number.value;
    out.numbers_ |= bit;
  }
}

void parse_line(std::string_view line, Command& out) {
  const char* const end = line.data() + line.size();
  const char* p = skip_blanks(line.data(), end);
  out.letter = 0;
  out.number = -1;
  out.has_minor = false;
  out.lower_case = false;
  out.indented = p != line.data() && p != end;
  out.name = out.text = out.comment = {};
  out.numbers_ = out.mentioned_ = 0;
  if (p == end || !is_letter(*p)) {
    keep_comment(p, end, out);
    return;
  }
  const char* const first = p++;
  if (p == end || !(is_digit(*p) || *p == '-')) {
    while (p != end && !is_blank(*p) && *p != ';') ++p;
    out.name = std::string_view(first, static_cast<std::size_t>(p - first));
    out.text = std::string_view(p, static_cast<std::size_t>(end - p));
    keep_comment(p, end, out);
    return;
  }
  out.letter = to_upper(*first);
  out.lower_case = *first != out.letter;
  const bool negative = *p == '-';
  if (negative) ++p;
  int number = 0;
  while (p != end && is_digit(*p) && number < 100000)
    number = number * 10 + (*p++ - '0');
  out.number = negative ? -number : number;
  if (p != end && *p == '.') {
    out.has_minor = true;
    while (++p != end && is_digit(*p)) {
    }
  }
  out.text = std::string_view(p, static_cast<std::size_t>(end - p));
  if (carries_text(out)) {
    keep_comment(p, end, out);
  } else {
    parse_words(p, end, out);
  }
}

}  // namespace drydepth
