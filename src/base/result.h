#pragma once

#include <cassert>
#include <string>
#include <utility>
#include <variant>

namespace drydepth {

/// What a person needs to mend a bad input: where it stands (file:line, file and JSON
/// path, or option), what is wrong with it, and what to do.
struct Error {
  std::string where;
  std::string what;
  std::string hint;
  int exit_code = 65;  ///< see exit_code.h; bad data unless said otherwise

  /// One sentence, "where: what; hint", as it may be shown to people: see shown().
  std::string text() const;
};

/// A value or the Error that kept it from existing. For everything that touches outside
/// data; our own mistakes are asserted. Spelled like std::expected, which C++20 lacks.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : data_(std::in_place_index<0>, std::move(value)) {}
  Result(Error error) : data_(std::in_place_index<1>, std::move(error)) {}

  bool has_value() const { return data_.index() == 0; }
  explicit operator bool() const { return has_value(); }

  T& value() & {
    assert(has_value());
    return *std::get_if<0>(&data_);
  }
  const T& value() const& {
    assert(has_value());
    return *std::get_if<0>(&data_);
  }
  T&& value() && {
    assert(has_value());
    return std::move(*std::get_if<0>(&data_));
  }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }

  const Error& error() const {
    assert(!has_value());
    return *std::get_if<1>(&data_);
  }

 private:
  std::variant<T, Error> data_;
};

/// The value of a Result that has nothing to say but "done".
struct Done {};

}  // namespace drydepth
