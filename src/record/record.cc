#include "record/record.h"

#include <algorithm>
#include <utility>

#include "base/json_reader.h"
#include "base/json_value.h"
#include "base/nearest.h"
#include "base/units.h"
#include "record/body_reader.h"
#include "record/event_reader.h"
#include "record/order.h"
#include "rules/materials.h"

namespace drydepth {
namespace {

constexpr NumberRule kDiameter{.unit = "millimetres",
                               .min = 1,
                               .max = 4,
                               .example = "1.75",
                               .slip_unit = "metres",
                               .slip_factor = 1000};
constexpr NumberRule kLength{.unit = "millimetres",
                             .min = 1,
                             .max = 1000,
                             .example = "55",
                             .slip_unit = "metres",
                             .slip_factor = 1000};
constexpr NumberRule kMass{.unit = "grams",
                           .min = 5,
                           .max = 30000,
                           .example = "978",
                           .slip_unit = "kilograms",
                           .slip_factor = 1000};
constexpr NumberRule kMassSd{
    .unit = "grams", .min = 0, .max = 5000, .example = "3", .above_min = true};
constexpr NumberRule kTemperature{
    .unit = "degrees Celsius", .min = -40, .max = 200, .example = "23"};
constexpr NumberRule kMoisture{
    .unit = "percent of the dry mass", .min = 0, .max = 20, .example = "2.8"};
constexpr NumberRule kMoistureSd{.unit = "percent of the dry mass",
                                 .min = 0,
                                 .max = 20,
                                 .example = "0.6",
                                 .above_min = true};
constexpr NumberRule kGapFactor{
    .min = 0, .max = 1, .example = "0.06", .above_min = true};
constexpr NumberRule kFilm{
    .unit = "W/(m2 K)", .min = 0, .max = 1000, .example = "12", .above_min = true};
constexpr NumberRule kConductivity{
    .unit = "W/(m K)", .min = 0, .max = 10, .example = "0.115", .above_min = true};

// Mass as sold against the label: design value, no source.
constexpr double kFullNetRelativeSd = 0.015;

std::optional<double> scaled(std::optional<double> value, double factor) {
  if (value) *value *= factor;
  return value;
}

WindingRecord read_winding(JsonReader in) {
  WindingRecord out;
  out.width_m = in.number("width_mm", kLength) / 1000;
  out.hub_diameter_m = scaled(in.optional_number("hub_diameter_mm", kLength), 0.001);
  out.outer_diameter_m =
      scaled(in.optional_number("outer_diameter_mm", kLength), 0.001);
  out.full_net_kg = scaled(in.optional_number("full_net_g", kMass), 0.001);
  const double assumed_sd = out.full_net_kg.value_or(0) * kFullNetRelativeSd;
  out.full_net_sd_kg =
      scaled(in.optional_number("full_net_sd_g", kMassSd), 0.001).value_or(assumed_sd);
  const int known = out.hub_diameter_m.has_value() + out.outer_diameter_m.has_value() +
                    out.full_net_kg.has_value();
  if (known < 2) {
    in.fail("", "the size of the winding is not settled",
            "give two of hub_diameter_mm, outer_diameter_mm and full_net_g");
  }
  const bool inside_out = out.hub_diameter_m && out.outer_diameter_m &&
                          *out.hub_diameter_m >= *out.outer_diameter_m;
  if (inside_out) {
    in.fail("outer_diameter_mm", "the winding ends inside its hub",
            "swap or mend hub_diameter_mm and outer_diameter_mm");
  }
  return out;
}

PackRecord read_pack(JsonReader in) {
  return {.gap_factor = in.optional_number("gap_factor", kGapFactor),
          .film_w_m2k = in.optional_number("film_w_m2k", kFilm),
          .conductivity_w_mk = in.optional_number("conductivity_w_mk", kConductivity),
          .side_w_m2k = in.optional_number("side_w_m2k", kFilm)};
}

LimitsRecord read_limits(JsonReader in) {
  return {.percent = {in.optional_number("cosmetic_percent", kLimitRange),
                      in.optional_number("strength_percent", kLimitRange)},
          .drying_max_c = in.optional_number("drying_max_c", kDryingCeilingRange)};
}

OpenedRecord read_opened(JsonReader in) {
  OpenedRecord out;
  if (in.has("at")) out.at = read_instant(in, "at");
  const std::optional<double> t = in.optional_number("temperature_c", kTemperature);
  if (t) out.temperature_k = to_kelvin(Celsius{*t}).value;
  out.moisture = scaled(in.optional_number("moisture_percent", kMoisture), 0.01);
  out.moisture_sd =
      scaled(in.optional_number("moisture_sd_percent", kMoistureSd), 0.01);
  out.layers = in.optional_numbers("layers_percent", kMoisture);
  for (double& layer : out.layers) layer /= 100;
  if (out.moisture && !out.layers.empty()) {
    in.fail("layers_percent", "the moisture is given twice, as one number and by layer",
            "keep one of moisture_percent and layers_percent");
  }
  out.history_unknown = in.flag_or("history_unknown", false);
  out.net_kg = scaled(in.optional_number("net_g", kMass), 0.001);
  out.outer_diameter_m =
      scaled(in.optional_number("outer_diameter_mm", kLength), 0.001);
  return out;
}

}  // namespace

Result<SpoolRecord> read_record(std::string_view text, std::string_view file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.error();
  JsonErrors errors{std::string(file), {}};
  JsonReader in(*json, errors);
  SpoolRecord out;
  out.file = file;
  out.text = text;
  in.choice("format", {"drydepth-spool/1"});
  out.id = in.text("id", "the spool's id", "K-07");
  out.material = in.text("material", "the id of a material", "pa6");
  out.filament_diameter_m =
      in.object("filament").number("diameter_mm", kDiameter) / 1000;
  out.winding = read_winding(in.object("winding"));
  out.body = read_body(in.object("body"));
  if (auto limits = in.optional_object("limits")) out.limits = read_limits(*limits);
  if (auto pack = in.optional_object("pack")) out.pack = read_pack(*pack);
  if (auto opened = in.optional_object("opened")) out.opened = read_opened(*opened);
  for (JsonReader& event : in.objects("events")) {
    out.events.push_back(read_event(event));
  }
  if (errors.first) return *errors.first;
  const Result<Done> ordered = check_order(out);
  if (!ordered) return ordered.error();
  return out;
}

Instant start_of(const Event& event) {
  if (const auto* interval = std::get_if<Interval>(&event)) return interval->from;
  return std::visit(
      [](const auto& e) {
        if constexpr (requires { e.at; }) return e.at;
        return Instant{};
      },
      event);
}

const BodyRecord& body_at(const SpoolRecord& record, std::size_t event) {
  for (std::size_t i = std::min(event, record.events.size()); i > 0; --i) {
    const auto* respool = std::get_if<Respool>(&record.events[i - 1]);
    if (respool != nullptr) return respool->body;
  }
  return record.body;
}

const BodyRecord& body_at(const SpoolRecord& record, Instant at) {
  std::size_t started = 0;
  while (started < record.events.size() && start_of(record.events[started]) <= at) {
    ++started;
  }
  return body_at(record, started);
}

std::string_view kind_name(SpanKind kind) {
  switch (kind) {
    case SpanKind::kStorage:
      return "storage";
    case SpanKind::kDrying:
      return "drying";
    case SpanKind::kPrint:
      return "print";
  }
  return {};
}

std::string_view kind_name(FindingKind kind) {
  switch (kind) {
    case FindingKind::kPiece:
      return "piece";
    case FindingKind::kCoupon:
      return "coupon";
    case FindingKind::kPurge:
      return "purge";
  }
  return {};
}

std::string_view feed_name(Feed feed) {
  switch (feed) {
    case Feed::kOpen:
      return "open";
    case Feed::kDryBox:
      return "dry-box";
    case Feed::kLiveDryer:
      return "live-dryer";
  }
  return {};
}

Result<Feed> parse_feed(std::string_view name) {
  std::vector<std::string> known;
  for (const Feed feed : {Feed::kOpen, Feed::kDryBox, Feed::kLiveDryer}) {
    if (name == feed_name(feed)) return feed;
    known.emplace_back(feed_name(feed));
  }
  return Error{"", "unknown feed \"" + std::string(name) + "\"",
               did_you_mean(name, known)};
}

}  // namespace drydepth
