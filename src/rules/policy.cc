#include "rules/policy.h"

#include <optional>

#include "base/json_reader.h"
#include "base/json_value.h"

namespace drydepth {
namespace {

constexpr NumberRule kDegrees{
    .unit = "degrees Celsius", .min = 0, .max = 10, .example = "5", .above_min = true};
constexpr NumberRule kNozzle{
    .unit = "degrees Celsius", .min = 100, .max = 500, .example = "170"};
constexpr NumberRule kLonger{.min = 0, .max = 0.5, .example = "0.1"};
constexpr NumberRule kAdded{
    .unit = "millimetres", .min = 0, .max = 1, .example = "0.4"};
constexpr NumberRule kUnload{
    .unit = "millimetres", .min = 1, .max = 100, .example = "12"};
constexpr NumberRule kPairs{
    .unit = "retractions", .min = 0, .max = 200000, .example = "50000"};
constexpr NumberRule kHold{.unit = "hours", .min = 0, .max = 24, .example = "2"};
constexpr NumberRule kShare{.min = 0.5, .max = 1, .example = "0.9"};
constexpr NumberRule kLayers{.unit = "layers", .min = 0, .max = 100, .example = "5"};
constexpr NumberRule kLayerTime{
    .unit = "seconds", .min = 0, .max = 3600, .example = "15"};
constexpr NumberRule kMarks{.unit = "marks", .min = 0, .max = 100, .example = "3"};

AdjustPolicy read_adjust(JsonReader in) {
  in.only_keys({"step_c", "most_c", "least_nozzle_c", "retract_longer",
                "retract_most_mm", "retract_unload_mm", "retract_most_pairs"});
  return {.step_c = read_sourced(in, "step_c", kDegrees),
          .most_c = read_sourced(in, "most_c", kDegrees),
          .least_nozzle_c = read_sourced(in, "least_nozzle_c", kNozzle),
          .retract_longer = read_sourced(in, "retract_longer", kLonger),
          .retract_most_mm = read_sourced(in, "retract_most_mm", kAdded),
          .retract_unload_mm = read_sourced(in, "retract_unload_mm", kUnload),
          .retract_most_pairs = read_sourced(in, "retract_most_pairs", kPairs)};
}

PausePolicy read_pause(JsonReader in) {
  in.only_keys({"clear_layers", "short_layer_s", "long_layer_s", "hour_earlier",
                "hidden", "on_skin", "on_bridge", "on_island", "hold_h"});
  return {.clear_layers = read_sourced(in, "clear_layers", kLayers),
          .short_layer_s = read_sourced(in, "short_layer_s", kLayerTime),
          .long_layer_s = read_sourced(in, "long_layer_s", kLayerTime),
          .hour_earlier = read_sourced(in, "hour_earlier", kMarks),
          .hidden = read_sourced(in, "hidden", kMarks),
          .on_skin = read_sourced(in, "on_skin", kMarks),
          .on_bridge = read_sourced(in, "on_bridge", kMarks),
          .on_island = read_sourced(in, "on_island", kMarks),
          .hold_h = read_sourced(in, "hold_h", kHold)};
}

Sourced read_support(JsonReader in) {
  in.only_keys({"least_share"});
  return read_sourced(in, "least_share", kShare);
}

}  // namespace

Result<Policy> load_policy(const std::vector<RuleText>& overlay) {
  Json whole = Json::object();
  std::string name;
  for (const RuleText& file : rule_texts("policy.json", overlay)) {
    const Result<Json> json = parse_json(file.text, file.name);
    if (!json) return json.error();
    whole.merge_patch(*json);
    name = file.name;
  }
  JsonErrors errors{name, {}};
  JsonReader in(whole, errors);
  in.only_keys({"format", "adjust", "pause", "support"});
  in.choice("format", {"drydepth-policy/1"});
  Policy out{.adjust = read_adjust(in.object("adjust")),
             .pause = read_pause(in.object("pause")),
             .text = whole.dump(),
             .support_share = read_support(in.object("support"))};
  if (errors.first) return *errors.first;
  return out;
}

}  // namespace drydepth
