#include "record/event_reader.h"

#include <string>
#include <utility>

#include "base/numbers.h"
#include "base/units.h"
#include "record/body_reader.h"
#include "record/finding_reader.h"

namespace drydepth {
namespace {

constexpr NumberRule kAirTemperature{
    .unit = "degrees Celsius", .min = -40, .max = 200, .example = "23"};
constexpr NumberRule kHumidity{
    .unit = "percent relative humidity", .min = 0, .max = 100, .example = "45"};
constexpr NumberRule kSensorFloor{
    .unit = "percent relative humidity", .min = 0, .max = 60, .example = "20"};
constexpr NumberRule kExchange{.unit = "m3/h", .min = 0, .max = 1000, .example = "0.3"};
constexpr NumberRule kChamber{
    .unit = "m3", .min = 0, .max = 100, .example = "0.02", .above_min = true};
constexpr NumberRule kGross{.unit = "grams",
                            .min = 10,
                            .max = 40000,
                            .example = "1211.4",
                            .slip_unit = "kilograms",
                            .slip_factor = 1000};
constexpr NumberRule kScaleSd{
    .unit = "grams", .min = 0, .max = 1000, .example = "0.1", .above_min = true};
constexpr NumberRule kUsed{.unit = "grams", .min = 0, .max = 30000, .example = "120.5"};

// A kitchen scale that shows whole grams: repeats to about 1 g (derived).
constexpr double kScaleSdKg = 0.001;

// A fraction where percent is asked for passes every range, so it is caught by sense:
// no unheated air is drier than 1 %.
void check_fraction(JsonReader& in, double temperature_c, double percent) {
  const bool looks_like_fraction = percent > 0 && percent < 1 && temperature_c < 40;
  if (!looks_like_fraction) return;
  in.fail("rh_percent",
          "expected percent, got " + format_shortest(percent) +
              ", which looks like a fraction",
          "write " + format_shortest(percent * 100) + ", or 1 for air as dry as that");
}

AirLog read_air_log(JsonReader& in) {
  AirLog out;
  out.path = in.text("log", "the name of a file", "dryer.csv");
  if (auto room = in.optional_object("room")) out.room = read_stated_air(*room);
  out.floor = in.optional_number("floor_percent", kSensorFloor);
  if (out.floor) *out.floor /= 100;
  return out;
}

AirSpec read_air(JsonReader in) {
  if (in.has("log")) return read_air_log(in);
  if (in.has("rh_percent")) {
    if (in.has("room")) {
      in.fail("rh_percent", "the humidity is given twice, by itself and by the room",
              "keep rh_percent if it was measured in there, else room");
    }
    return read_stated_air(in);
  }
  HeaterAir out;
  out.temperature_k =
      to_kelvin(Celsius{in.number("temperature_c", kAirTemperature)}).value;
  if (auto room = in.optional_object("room")) out.room = read_stated_air(*room);
  out.exchange_m3_s = in.optional_number("exchange_m3_h", kExchange);
  if (const auto set_c = in.optional_number("set_c", kAirTemperature)) {
    out.set_k = to_kelvin(Celsius{*set_c}).value;
  }
  if (out.exchange_m3_s) *out.exchange_m3_s /= kSecondsPerHour;
  out.chamber_m3 = in.optional_number("chamber_m3", kChamber);
  return out;
}

Weighing read_weighing(JsonReader& in) {
  Weighing out;
  out.at = read_instant(in, "at");
  out.gross_kg = in.number("gross_g", kGross) / 1000;
  const std::optional<double> sd_g = in.optional_number("scale_sd_g", kScaleSd);
  out.scale_sd_kg = sd_g ? *sd_g / 1000 : kScaleSdKg;
  return out;
}

void read_print(JsonReader& in, Interval& out) {
  out.used_kg = in.number("used_g", kUsed) / 1000;
  const std::optional<double> sd_g = in.optional_number("used_sd_g", kScaleSd);
  out.used_sd_kg = sd_g ? *sd_g / 1000 : out.used_kg * kUsedRelativeSd;
  if (in.has("feed")) {
    const Result<Feed> feed =
        parse_feed(in.choice("feed", {"open", "dry-box", "live-dryer"}));
    if (feed) out.feed = *feed;
  }
  out.job =
      in.optional_text("job", "the name of the job", "bracket.gcode").value_or("");
  out.stamp = in.optional_text("stamp", "the name of a checked print",
                               "5f0c9a3e1b2d4c6f 2026-03-06T06:30:00Z")
                  .value_or("");
}

Interval read_interval(JsonReader& in, SpanKind kind) {
  Interval out;
  out.kind = kind;
  out.from = read_instant(in, "from");
  if (in.has("to")) out.to = read_instant(in, "to");
  if (out.to && *out.to < out.from) {
    in.fail("to", "it ends before it starts", "swap or mend from and to");
  }
  if (auto air = in.optional_object("air")) out.air = read_air(*air);
  if (kind == SpanKind::kDrying && !out.air) {
    in.fail("air", "drying needs its air",
            "write e.g. {\"temperature_c\": 70}, with the room's air if known");
  }
  if (kind == SpanKind::kPrint) read_print(in, out);
  if (out.to && *out.to == out.from && out.used_kg > 0) {
    in.fail("to", "a print takes time, but this one ends as it starts",
            "mend from or to");
  }
  return out;
}

}  // namespace

Instant read_instant(JsonReader& in, std::string_view key) {
  const std::string text = in.text(key, "a moment in UTC", "2026-03-02T08:00:00Z");
  if (in.failed()) return {};
  const Result<Instant> at = parse_instant(text);
  if (at) return *at;
  in.fail(key, at.error().what, at.error().hint);
  return {};
}

StatedAir read_stated_air(JsonReader& in) {
  const double temperature_c = in.number("temperature_c", kAirTemperature);
  const double percent = in.number("rh_percent", kHumidity);
  check_fraction(in, temperature_c, percent);
  return {.temperature_k = to_kelvin(Celsius{temperature_c}).value,
          .activity = percent / 100};
}

Event read_event(JsonReader& in) {
  const std::string type = in.choice("type", {"weighing", "drying", "storage", "print",
                                              "piece", "coupon", "purge", "respool"});
  if (type == "weighing") return read_weighing(in);
  if (type == "drying") return read_interval(in, SpanKind::kDrying);
  if (type == "print") return read_interval(in, SpanKind::kPrint);
  if (type == "piece") return read_piece(in);
  if (type == "coupon") return read_coupon(in);
  if (type == "purge") return read_purge(in);
  if (type == "respool") return read_respool(in);
  return read_interval(in, SpanKind::kStorage);
}

}  // namespace drydepth
