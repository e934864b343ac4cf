#include "rules/sourced.h"

#include "base/json_reader.h"

namespace drydepth {
namespace {

constexpr NumberRule kSd{.unit = "the same unit as the value",
                         .min = 0,
                         .max = 1e30,
                         .example = "0.1",
                         .above_min = true};
constexpr NumberRule kLogSd{.unit = "natural logarithms",
                            .min = 0,
                            .max = 10,
                            .example = "0.7",
                            .above_min = true};

}  // namespace

Sourced read_sourced(JsonReader& reader, std::string_view key, const NumberRule& rule) {
  JsonReader in = reader.object(key);
  in.only_keys({"value", "sd", "log_sd", "source", "status"});
  Sourced out;
  out.value = in.number("value", rule);
  out.sd = in.optional_number("sd", kSd);
  out.log_sd = in.optional_number("log_sd", kLogSd);
  if (out.sd && out.log_sd) {
    in.fail("sd", "sd and log_sd are both given", "keep the one that was estimated");
  }
  out.source =
      in.text("source", "the source in words", "data sheet of the maker, 2025");
  out.status = in.choice("status", {"read", "derived", "from memory",
                                    "common practice, no source", "own choice"});
  return out;
}

std::optional<Sourced> optional_sourced(JsonReader& reader, std::string_view key,
                                        const NumberRule& rule) {
  if (!reader.has(key)) return std::nullopt;
  return read_sourced(reader, key, rule);
}

}  // namespace drydepth
