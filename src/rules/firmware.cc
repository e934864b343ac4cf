#include "rules/firmware.h"

#include <algorithm>
#include <map>
#include <utility>

#include "base/json_reader.h"
#include "base/json_value.h"

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

constexpr NumberRule kFlow{
    .unit = "times", .min = 0, .max = 100, .example = "2", .above_min = true};
constexpr NumberRule kSpeed{
    .unit = "mm/s", .min = 0, .max = 1e6, .example = "500", .above_min = true};
constexpr NumberRule kAccel{
    .unit = "mm/s2", .min = 0, .max = 1e6, .example = "1500", .above_min = true};
constexpr NumberRule kDeviation{
    .unit = "millimetres", .min = 0, .max = 10, .example = "0.05", .above_min = true};
constexpr NumberRule kCorner{.unit = "mm/s", .min = 0, .max = 1e6, .example = "5"};
constexpr NumberRule kRatio{.min = 0, .max = 0.99, .example = "0.5"};

constexpr NumberRule kMinutes{
    .unit = "minutes", .min = 0, .max = 1440, .example = "10", .above_min = true};

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

Axes read_axis_limits(JsonReader& in, std::string_view key, const NumberRule& rule) {
  Axes limits = {};
  auto axes = in.optional_object(key);
  if (!axes) return limits;
  axes->only_keys({"x", "y", "z", "e"});
  limits = {axes->number("x", rule), axes->number("y", rule), axes->number("z", rule),
            axes->number("e", rule)};
  return limits;
}

void read_limits(JsonReader& in, Dialect& dialect) {
  in.only_keys({"form", "corner", "speed_mm_s", "accel_mm_s2", "jerk_mm_s",
                "print_accel_mm_s2", "travel_accel_mm_s2", "retract_accel_mm_s2",
                "deviation_mm", "square_corner_mm_s", "extruder_corner_mm_s",
                "cruise_ratio", "source", "status"});
  in.text("source", "where the limits come from", "settings of the slicer");
  in.text("status", "how well they are known", "observed");
  const std::string form = in.choice("form", {"per-second", "per-minute", "named"});
  dialect.limit_form = form == "named"        ? LimitForm::kNamed
                       : form == "per-minute" ? LimitForm::kPerMinute
                                              : LimitForm::kPerSecond;
  MotionLimits& limits = dialect.limits;
  const std::string corner = in.choice("corner", {"jerk", "deviation", "square"});
  limits.corner = corner == "jerk"        ? CornerRule::kJerk
                  : corner == "deviation" ? CornerRule::kDeviation
                                          : CornerRule::kSquare;
  limits.speed_mm_s = read_axis_limits(in, "speed_mm_s", kSpeed);
  limits.accel_mm_s2 = read_axis_limits(in, "accel_mm_s2", kAccel);
  limits.jerk_mm_s = read_axis_limits(in, "jerk_mm_s", kSpeed);
  const auto number = [&in](std::string_view key, const NumberRule& rule) {
    return in.optional_number(key, rule).value_or(0);
  };
  limits.print_accel_mm_s2 = number("print_accel_mm_s2", kAccel);
  limits.travel_accel_mm_s2 = number("travel_accel_mm_s2", kAccel);
  limits.retract_accel_mm_s2 = number("retract_accel_mm_s2", kAccel);
  limits.deviation_mm = number("deviation_mm", kDeviation);
  limits.square_corner_mm_s = number("square_corner_mm_s", kCorner);
  limits.extruder_corner_mm_s = number("extruder_corner_mm_s", kSpeed);
  limits.cruise_ratio = number("cruise_ratio", kRatio);
}

IdleRule read_idle(JsonReader& in) {
  in.only_keys({"minutes", "does", "loses_place", "command", "source", "status"});
  in.text("source", "where the fact comes from", "documentation of the firmware");
  in.text("status", "how well it is known", "documented");
  IdleRule out;
  out.minutes = in.optional_number("minutes", kMinutes).value_or(0);
  out.does =
      in.optional_text("does", "what it does then", "turns heaters off").value_or("");
  out.loses_place = in.flag_or("loses_place", false);
  out.command = in.optional_text("command", "a command", "M84 S").value_or("");
  return out;
}

DialectSign read_sign(JsonReader& in) {
  in.only_keys({"key", "pattern", "weight"});
  DialectSign sign;
  sign.key = in.choice("key", {"gcode_flavor", "flavor", "firmware_type",
                               "printer_model", "slicer", "command"});
  const std::string pattern = in.text("pattern", "a regular expression", "^marlin$");
  sign.weight = static_cast<int>(in.number("weight", kWeight));
  auto compiled = Pattern::compile(pattern);
  if (!compiled) {
    in.fail("pattern", compiled.error().what, compiled.error().hint);
    return sign;
  }
  sign.pattern = *std::move(compiled);
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
                "nozzle", "retraction", "idle", "obeys_m601", "max_flow", "limits",
                "signs"});
  in.choice("format", {"drydepth-firmware/1"});
  Dialect dialect;
  dialect.text = file.text;
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
  dialect.nozzle = open_fact(in, "nozzle")
                       .optional_text("value", "a command", "M104 S")
                       .value_or("");
  if (in.has("retraction")) {
    dialect.retraction = open_fact(in, "retraction")
                             .optional_text("value", "a command", "M207 S")
                             .value_or("");
  }
  if (auto idle = in.optional_object("idle")) dialect.idle = read_idle(*idle);
  dialect.obeys_m601 = read_flag(in, "obeys_m601");
  if (in.has("max_flow")) {
    dialect.max_flow = open_fact(in, "max_flow").number("value", kFlow);
  }
  if (auto limits = in.optional_object("limits")) read_limits(*limits, dialect);
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
