#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace drydepth {

/// A command line taken apart. Words are kept by letter: a job has millions of lines,
/// and an array that is not cleared between them costs nothing.
class Command {
 public:
  char letter = 0;         ///< G, M, T, ... in upper case; 0 for none
  int number = -1;         ///< 28 of G28; -1 when the letter has none
  bool has_minor = false;  ///< G92.1 and its like
  bool lower_case = false;
  bool indented = false;
  std::string_view name;     ///< of a command spelled as a word: "PAUSE"
  std::string_view text;     ///< what stands behind the command, comment included
  std::string_view comment;  ///< behind the first ";", without it

  bool is(char l, int n) const { return letter == l && number == n && !has_minor; }
  /// True when the word stands there with a number.
  bool has(char word) const { return (numbers_ & bit(word)) != 0; }
  /// True when the word stands there at all, as X in "G28 X".
  bool mentions(char word) const { return (mentioned_ & bit(word)) != 0; }
  /// True when no word at all stands there.
  bool bare() const { return mentioned_ == 0; }
  /// Only where has(word).
  double value(char word) const { return values_[index(word)]; }
  double value_or(char word, double other) const {
    return has(word) ? value(word) : other;
  }
  std::optional<int> integer(char word) const;
  /// Which letters A..Z have a number, A in bit 0.
  std::uint32_t numbers() const { return numbers_; }

  static constexpr std::uint32_t bit(char word) { return 1u << index(word); }

 private:
  friend void parse_line(std::string_view, Command&);
  friend void parse_words(const char*, const char*, Command&);
  friend class PlainLineReader;
  static constexpr unsigned index(char word) {
    return static_cast<unsigned>(word - 'A');
  }

  std::uint32_t numbers_ = 0;
  std::uint32_t mentioned_ = 0;
  std::array<double, 26> values_ = {};
};

/// Takes one line apart, line end excluded. Blanks between words are not needed; "E" is
/// a word and never an exponent; "( )" and "{ }" groups and quoted strings are skipped,
/// a word whose value is such a group counts as mentioned only. The views in out point
/// into line. Commands that carry free text (M117 and its like) get no words.
void parse_line(std::string_view line, Command& out);

/// A decimal number [+-]?digits[.digits] and where it ends; end is the start given when
/// there is none. The value is the double nearest to the digits, as strtod gives.
struct Decimal {
  double value = 0;
  const char* end = nullptr;
};
Decimal read_decimal(const char* begin, const char* end);

}  // namespace drydepth
