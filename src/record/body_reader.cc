#include "record/body_reader.h"

#include "base/units.h"
#include "record/event_reader.h"

namespace drydepth {
namespace {

constexpr NumberRule kTare{.unit = "grams",
                           .min = 5,
                           .max = 30000,
                           .example = "214",
                           .slip_unit = "kilograms",
                           .slip_factor = 1000};
constexpr NumberRule kTareSd{
    .unit = "grams", .min = 0, .max = 5000, .example = "3", .above_min = true};
constexpr NumberRule kLength{.unit = "millimetres",
                             .min = 1,
                             .max = 1000,
                             .example = "55",
                             .slip_unit = "metres",
                             .slip_factor = 1000};

// An empty spool's mass differs by 5 to 20 g between batches: common practice, no
// source.
constexpr double kTareSdKg = 0.005;

std::optional<double> thousandth(std::optional<double> value) {
  if (value) *value *= 0.001;
  return value;
}

}  // namespace

BodyRecord read_body(JsonReader in) {
  BodyRecord out;
  out.kind = in.text("kind", "the kind of spool body", "pc");
  out.tare_kg = thousandth(in.optional_number("tare_g", kTare));
  out.tare_sd_kg =
      thousandth(in.optional_number("tare_sd_g", kTareSd)).value_or(kTareSdKg);
  out.hub_open = in.flag_or("hub_open", false);
  return out;
}

Respool read_respool(JsonReader& in) {
  Respool out;
  out.at = read_instant(in, "at");
  out.body = read_body(in.object("body"));
  if (auto winding = in.optional_object("winding")) {
    out.hub_diameter_m =
        thousandth(winding->optional_number("hub_diameter_mm", kLength));
    out.width_m = thousandth(winding->optional_number("width_mm", kLength));
    out.outer_diameter_m =
        thousandth(winding->optional_number("outer_diameter_mm", kLength));
  }
  if (auto air = in.optional_object("air")) out.air = read_stated_air(*air);
  return out;
}

}  // namespace drydepth
