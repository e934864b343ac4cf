#include "rules/firmware.h"

#include <algorithm>
#include <map>
#include <utility>

#include "base/json_reader.h"

namespace drydepth {
namespace {

constexpr NumberRule kWeight{.min = 1, .max = 100, .example = "10"};
constexpr NumberRule kMessageLength{
    .unit = "characters", .min = 1, .max = 60, .example = "20"};

/// A fact {value, source, status}, of which the tool uses the value.
JsonReader open_fact(JsonReader& in, std::string_view key) {
  JsonReader fact = in.object(key);
  fact.only_keys({"value", "source", "status"});
  fact.text("source", "where the fact comes from", "documentation of the firmware");
  fact.text("status", "how well it is known", "documented");
  return fact;
}

bool read_flag(JsonReader& in, std::string_view key) {
  JsonReader fact = open_fact(in, key);
  if (!fact.has("value")) fact.fail("value", "this is missing", "write true or false");
  return fact.flag_or("value", false);
}

ERule read_e_rule(JsonReader& in) {
  const std::string word =
      open_fact(in, "e_mode").choice("value", {"set", "or", "leave"});
  return word == "set" ? ERule::kSet : word == "or" ? ERule::kOr : ERule::kLeave;
}

std::string read_axes(JsonReader& in) {
  JsonReader fact = open_fact(in, "e_axes");
  const std::string axes = fact.text("value", "the letters that carry filament", "E");
  const bool good = !axes.empty() && std::all_of(axes.begin(), axes.end(), [](char c) {
    return c >= 'A' && c <= 'Z';
  });
  if (!good) fact.fail("value", "not capital letters", "write e.g. \"E\"");
  return axes;
}

std::optional<MessageForm> read_message(JsonReader& in) {
  JsonReader message = in.object("message");
  message.only_keys({"before", "after", "max_length", "source", "status"});
  message.text("source", "where the fact comes from", "documentation of the firmware");
  message.text("status", "how well it is known", "documented");
  const auto before =
      message.optional_text("before", "what stands before the text", "M117 ");
  if (!before) return std::nullopt;
  MessageForm form;
  form.before = *before;
  form.after =
      message.optional_text("after", "what stands behind it", ")").value_or("");
  form.max_length = static_cast<int>(
      message.optional_number("max_length", kMessageLength).value_or(20));
  return form;
}

DialectSign read_sign(JsonReader& in) {
  in.only_keys({"key", "pattern", "weight"});
  DialectSign sign;
  sign.key = in.choice("key", {"gcode_flavor", "flavor", "firmware_type",
                               "printer_model", "slicer", "command"});
  const std::string pattern = in.text("pattern", "a regular expression", "^marlin$");
  sign.weight = static_cast<int>(in.number("weight", kWeight));
  re2::RE2::Options options;
  options.set_log_errors(false);
  sign.pattern = std::make_shared<re2::RE2>(pattern, options);
  if (!sign.pattern->ok()) {
    in.fail("pattern", "no regular expression: " + sign.pattern->error(),
            "look at \"" + sign.pattern->error_arg() + "\" in it");
  }
  return sign;
}

}  // namespace

Result<Dialect> parse_firmware(const RuleText& file) {
  const Result<Json> json = parse_json(file.text, file.name);
  if (!json) return json.error();
  JsonErrors errors{file.name, {}};
  JsonReader in(*json, errors);
  in.only_keys({"format", "id", "name", "e_mode", "e_axes", "g10_sets_tools",
                "lower_case", "bare_g92_zeroes", "flow_per_tool", "message", "pause",
                "obeys_m601", "signs"});
  in.choice("format", {"drydepth-firmware/1"});
  Dialect dialect;
  dialect.id = in.text("id", "a short name", "marlin");
  dialect.name = in.text("name", "a name for people", "Marlin 2");
  dialect.e_rule = read_e_rule(in);
  dialect.e_axes = read_axes(in);
  dialect.g10_sets_tools = read_flag(in, "g10_sets_tools");
  dialect.lower_case = read_flag(in, "lower_case");
  dialect.bare_g92_zeroes = read_flag(in, "bare_g92_zeroes");
  dialect.flow_per_tool = read_flag(in, "flow_per_tool");
  dialect.message = read_message(in);
  dialect.pause =
      open_fact(in, "pause").optional_text("value", "a command", "M601").value_or("");
  dialect.obeys_m601 = read_flag(in, "obeys_m601");
  for (JsonReader& sign : in.objects("signs")) dialect.signs.push_back(read_sign(sign));
  if (errors.first) return *errors.first;
  return dialect;
}

Result<std::vector<Dialect>> load_firmwares(const std::vector<RuleText>& overlay) {
  std::map<std::string, Dialect> by_id;
  for (const RuleText& file : rule_texts("firmware/", overlay)) {
    auto dialect = parse_firmware(file);
    if (!dialect) return dialect.error();
    by_id.insert_or_assign(dialect->id, std::move(*dialect));
  }
  std::vector<Dialect> all;
  for (auto& [id, dialect] : by_id) all.push_back(std::move(dialect));
  return all;
}

}  // namespace drydepth
