#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/json_text.h"
#include "base/result.h"

namespace drydepth {

/// What a number must be, in words: its unit and range, and one that would do.
struct NumberRule {
  std::string_view unit = {};  ///< "millimetres"; empty for a bare number
  double min = 0;
  double max = 0;
  std::string_view example = {};    ///< "55"
  bool above_min = false;           ///< min itself is outside
  std::string_view slip_unit = {};  ///< the unit it is often given in: "metres"
  double slip_factor = 1;           ///< from that unit to the right one: 1000
};

/// The first error of a document and the file it is about. Readers of all its parts
/// share one, so a loader reads straight down and asks once at the end.
struct JsonErrors {
  std::string file;
  std::optional<Error> first;
};

/// A JSON object read by key. After the first error every getter goes on giving
/// harmless values, and the error sticks. Must not outlive the value and the errors.
class JsonReader {
 public:
  JsonReader(const Json& value, JsonErrors& errors, std::string pointer = "");

  bool failed() const { return errors_->first.has_value(); }
  /// True when the key is there and not null.
  bool has(std::string_view key) const;
  /// JSON pointer of this object, or of a member of it.
  const std::string& pointer() const { return pointer_; }
  std::string pointer_to(std::string_view key) const;
  /// The value read from.
  const Json& json() const { return *value_; }

  double number(std::string_view key, const NumberRule& rule);
  std::optional<double> optional_number(std::string_view key, const NumberRule& rule);
  /// The numbers of a member that is an array with something in it; none where it is
  /// not there.
  std::vector<double> optional_numbers(std::string_view key, const NumberRule& rule);
  /// `expected` in words: "the spool's name"; `example` as it would be written.
  std::string text(std::string_view key, std::string_view expected,
                   std::string_view example);
  std::optional<std::string> optional_text(std::string_view key,
                                           std::string_view expected,
                                           std::string_view example);
  /// One of some words; the error names the nearest.
  std::string choice(std::string_view key, const std::vector<std::string>& words);
  bool flag_or(std::string_view key, bool fallback);

  /// A member that is an object. A missing one is an error.
  JsonReader object(std::string_view key);
  std::optional<JsonReader> optional_object(std::string_view key);
  /// The elements of a member that is an array of objects. A missing one is an error.
  std::vector<JsonReader> objects(std::string_view key);

  /// Refuses every key that is not listed, naming the nearest. Not for spool records,
  /// whose unknown keys are kept.
  void only_keys(const std::vector<std::string>& known);

  /// Notes an error at a member (or at this object for an empty key), unless there is
  /// one already.
  void fail(std::string_view key, std::string what, std::string hint);

 private:
  const Json* find(std::string_view key) const;
  void fail_type(std::string_view key, const std::string& expected,
                 std::string_view example);
  double checked(std::string_view key, const Json& found, const NumberRule& rule);

  const Json* value_;
  JsonErrors* errors_;
  std::string pointer_;
};

}  // namespace drydepth
