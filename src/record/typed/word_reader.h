#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>

#include "base/exit_code.h"
#include "record/typed/log_words.h"
#include "record/typed/quantity.h"

namespace drydepth {

/// Reads word after word. The first error sticks, and everything after it is harmless.
class WordReader {
 public:
  WordReader(std::span<const std::string> words, const Clock& clock)
      : words_(words), clock_(&clock) {}

  bool at_end() const { return next_ >= words_.size() || error_.has_value(); }
  const std::optional<Error>& error() const { return error_; }
  const Clock& clock() const { return *clock_; }
  std::string_view peek() const {
    return at_end() ? std::string_view() : std::string_view(words_[next_]);
  }

  bool take(std::string_view word) {
    if (at_end() || words_[next_] != word) return false;
    ++next_;
    return true;
  }

  /// The next word, or an error that says what should have stood there.
  std::string word(std::string_view expected, std::string_view example) {
    if (next_ < words_.size()) return words_[next_++];
    fail("", std::string(expected) + " is missing",
         "write e.g. " + std::string(example));
    return {};
  }

  /// The words of a time: two where the first is a day.
  std::string time_words() {
    std::string first = word("a time", "22:00");
    const bool is_day = first == "yesterday" || first == "today" ||
                        first == "tomorrow" || first.size() == 10;
    const bool has_clock = is_day && !at_end() && peek().find(':') != peek().npos;
    return has_clock ? first + " " + words_[next_++] : first;
  }

  template <class T>
  T checked(Result<T> result, T fallback) {
    if (result) return *std::move(result);
    fail("", result.error().what, result.error().hint);
    return fallback;
  }

  void fail(std::string_view word, std::string what, std::string hint) {
    if (error_) return;
    if (!word.empty()) what += " \"" + std::string(word) + "\"";
    error_ =
        Error{"log " + words_.front(), std::move(what), std::move(hint), kExitUsage};
  }

 private:
  std::span<const std::string> words_;
  std::size_t next_ = 1;  // behind the type
  const Clock* clock_;
  std::optional<Error> error_;
};

/// The moment that words stand for, the latest one past.
inline Instant past_moment(WordReader& in, const std::string& text) {
  return in.checked(parse_moment(text, in.clock().now, in.clock().zone, Lean::kPast),
                    Instant{});
}

}  // namespace drydepth
