#include "rules/bodies.h"

#include <algorithm>
#include <map>
#include <utility>

#include "base/json_reader.h"
#include "base/json_value.h"
#include "base/nearest.h"

namespace drydepth {
namespace {

constexpr NumberRule kCeiling{
    .unit = "degrees Celsius", .min = 30, .max = 300, .example = "70"};
constexpr NumberRule kSlope{.unit = "kg/kg per unit activity",
                            .min = 0,
                            .max = 0.5,
                            .example = "0.1",
                            .above_min = true};
constexpr NumberRule kCurvature{.min = 0, .max = 0.95, .example = "0.45"};
constexpr NumberRule kTimeConstant{
    .unit = "hours", .min = 0, .max = 1000, .example = "1.5", .above_min = true};

// A body whose ceiling may still be open.
struct ReadBody {
  Body body;
  bool has_ceiling = false;
};

ReadBody read_body(JsonReader& in) {
  in.only_keys({"kind", "name", "heat_ceiling_c", "water"});
  ReadBody out;
  out.body.text = in.json().dump();
  out.body.kind = in.text("kind", "the kind that records use", "pc");
  out.body.name = in.text("name", "a name for people", "polycarbonate");
  const std::optional<Sourced> ceiling =
      optional_sourced(in, "heat_ceiling_c", kCeiling);
  out.has_ceiling = ceiling.has_value();
  if (ceiling) out.body.heat_ceiling_c = *ceiling;
  if (std::optional<JsonReader> water = in.optional_object("water")) {
    water->only_keys({"slope", "curvature", "time_constant_h"});
    out.body.water = BodyWater{
        .slope = read_sourced(*water, "slope", kSlope),
        .curvature = read_sourced(*water, "curvature", kCurvature),
        .time_constant_h = read_sourced(*water, "time_constant_h", kTimeConstant)};
  }
  return out;
}

Result<std::map<std::string, ReadBody>> read_files(
    const std::vector<RuleText>& overlay) {
  std::map<std::string, ReadBody> by_kind;
  for (const RuleText& file : rule_texts("bodies.json", overlay)) {
    const Result<Json> json = parse_json(file.text, file.name);
    if (!json) return json.error();
    JsonErrors errors{file.name, {}};
    JsonReader in(*json, errors);
    in.only_keys({"format", "bodies"});
    in.choice("format", {"drydepth-body/1"});
    for (JsonReader& entry : in.objects("bodies")) {
      const ReadBody body = read_body(entry);
      by_kind.insert_or_assign(body.body.kind, body);
    }
    if (errors.first) return *errors.first;
  }
  return by_kind;
}

}  // namespace

Result<std::vector<Body>> load_bodies(const std::vector<RuleText>& overlay) {
  const Result<std::map<std::string, ReadBody>> read = read_files(overlay);
  if (!read) return read.error();
  const Body* lowest = nullptr;
  for (const auto& [kind, entry] : *read) {
    if (!entry.has_ceiling) continue;
    const bool lower = lowest == nullptr ||
                       entry.body.heat_ceiling_c.value < lowest->heat_ceiling_c.value;
    if (lower) lowest = &entry.body;
  }
  if (lowest == nullptr) {
    return Error{"bodies.json", "no kind of body has a heat ceiling",
                 "give heat_ceiling_c to at least one"};
  }
  std::vector<Body> bodies;
  for (const auto& [kind, entry] : *read) {
    Body body = entry.body;
    if (!entry.has_ceiling) {
      body.heat_ceiling_c = lowest->heat_ceiling_c;
      body.text += lowest->text;
      body.heat_ceiling_c.source = "lowest of all kinds, that of " + lowest->name;
      body.heat_ceiling_c.status = "derived";
    }
    bodies.push_back(std::move(body));
  }
  return bodies;
}

Result<Body> find_body(const std::vector<Body>& bodies, std::string_view kind,
                       std::string_view where) {
  std::vector<std::string> known;
  for (const Body& body : bodies) {
    if (body.kind == kind) return body;
    known.push_back(body.kind);
  }
  return Error{std::string(where), "unknown body \"" + std::string(kind) + "\"",
               did_you_mean(kind, known)};
}

}  // namespace drydepth
