#include "spool/checks.h"

#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <string>

#include "base/numbers.h"
#include "moisture/polymer.h"
#include "record/order.h"
#include "record/unit_slip.h"
#include "spool/finding_checks.h"
#include "spool/opening.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

// Wet above the isotherm at saturation (hysteresis, spread of the slope): design value.
constexpr double kOverSaturation = 1.25;
// Cardboard at 100 % RH, the wettest body: design value.
constexpr double kBodyWater = 0.2;
constexpr double kSigmas = 3;

Error error_at(const SpoolRecord& record, std::size_t event, std::string_view key,
               std::string what, std::string hint) {
  return {record.file + " /events/" + std::to_string(event) + "/" + std::string(key),
          std::move(what), std::move(hint)};
}

// A scale shows one mass at a time; which of two is meant nobody else can say.
std::optional<Error> twice_weighed(const SpoolRecord& record, std::size_t i,
                                   const Weighing& weighing, const Weighing* before) {
  if (before == nullptr || before->at != weighing.at) return std::nullopt;
  return error_at(record, i, "at",
                  "there are two weighings at " + format_instant(weighing.at) + ", " +
                      mass_text(before->gross_kg) + " and " +
                      mass_text(weighing.gross_kg),
                  "keep one, or mend one of the two times");
}

struct Capacity {
  double filament_kg = 0;
  std::string reason;
};

// The most dry filament the spool can hold when full.
Capacity full_capacity(const SpoolRecord& record, const Material& material) {
  const WindingRecord& winding = record.winding;
  if (winding.full_net_kg) {
    return {kOverLabel * *winding.full_net_kg,
            "sold with " + mass_text(*winding.full_net_kg)};
  }
  const double outer_m = winding.outer_diameter_m.value_or(0);
  const double hub_m = winding.hub_diameter_m.value_or(0);
  const double section_m2 = std::numbers::pi / 4 * (outer_m * outer_m - hub_m * hub_m);
  const double most_kg =
      kDensestFill * section_m2 * winding.width_m * material.density_kg_m3.value;
  return {most_kg, "its size holds at most " + mass_text(most_kg)};
}

std::optional<Error> above_capacity(const SpoolRecord& record, std::size_t i,
                                    const Weighing& weighing, const Capacity& full,
                                    double saturation) {
  const BodyRecord& body = body_at(record, i);
  if (!body.tare_kg) return std::nullopt;
  const double body_kg = (1 + kBodyWater) * *body.tare_kg + kSigmas * body.tare_sd_kg;
  const double most_kg =
      full.filament_kg * (1 + kOverSaturation * saturation) + body_kg;
  if (weighing.gross_kg <= most_kg) return std::nullopt;
  return error_at(record, i, "gross_g",
                  mass_text(weighing.gross_kg) +
                      " is more than this spool can weigh, " + mass_text(most_kg) +
                      " wet to the core (" + full.reason + ")",
                  unit_slip(weighing.gross_kg, *body.tare_kg, most_kg)
                      .value_or("check the reading, its unit and the spool"));
}

}  // namespace

Result<Done> check_masses(const SpoolRecord& record, const Material& material) {
  const Capacity full = full_capacity(record, material);
  const double saturation = saturation_content(to_polymer(material));
  const double start_kg =
      record.opened.net_kg ? kOverLabel * *record.opened.net_kg : full.filament_kg;
  double used_kg = 0;
  const Weighing* weighed = nullptr;
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    if (const auto* weighing = std::get_if<Weighing>(&record.events[i])) {
      const std::optional<Error> twice = twice_weighed(record, i, *weighing, weighed);
      if (twice) return *twice;
      const std::optional<Error> error =
          above_capacity(record, i, *weighing, full, saturation);
      if (error) return *error;
      weighed = weighing;
      continue;
    }
    // On another body the same moment has another mass.
    if (std::holds_alternative<Respool>(record.events[i])) weighed = nullptr;
    const auto piece = impossible_piece(record, i, material, start_kg - used_kg);
    if (piece) return *piece;
    const auto* interval = std::get_if<Interval>(&record.events[i]);
    used_kg += interval != nullptr
                   ? interval->used_kg
                   : used_by_kg(record.events[i], record.filament_diameter_m,
                                material.density_kg_m3.value);
    if (used_kg > start_kg) {
      return error_at(record, i, "used_g",
                      mass_text(used_kg) + " printed up to here is more than the " +
                          mass_text(start_kg) + " the spool can have held",
                      "check used_g of the prints and the net mass");
    }
  }
  return Done{};
}

Result<Done> check_layers(const SpoolRecord& record, const Material& material) {
  const std::size_t given = record.opened.layers.size();
  if (given == 0) return Done{};
  const auto wound = static_cast<std::size_t>(
      layers_at_opening(spool_winding(record, material), record.opened));
  if (given == wound) return Done{};
  return Error{record.file + " /opened/layers_percent",
               std::to_string(given) + " numbers for a winding that has " +
                   std::to_string(wound) + " layers when opened",
               "give one a layer, outermost first, or mend the winding's sizes"};
}

}  // namespace drydepth
