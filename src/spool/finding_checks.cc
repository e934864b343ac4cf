#include "spool/finding_checks.h"

#include <cmath>
#include <numbers>

#include "base/numbers.h"
#include "moisture/polymer.h"

namespace drydepth {
namespace {

// Wet above the isotherm at saturation (hysteresis, spread of the slope): design value,
// as for weighings.
constexpr double kOverSaturation = 1.25;
constexpr double kSigmas = 3;
// A piece that tells its moisture no better than to a quarter of what the material
// holds in room air tells next to nothing: design value.
constexpr double kCoarseShare = 0.25;

std::string percent(double content) { return format_fixed(content * 100, 1) + " %"; }

double loss_sd(const Piece& piece) {
  return std::sqrt(2.0) * piece.scale_sd_kg / piece.after_kg;
}

}  // namespace

double used_by_kg(const Event& event, double filament_diameter_m,
                  double density_kg_m3) {
  if (const auto* piece = std::get_if<Piece>(&event)) return piece->after_kg;
  if (const auto* purge = std::get_if<Purge>(&event)) {
    return purge->length_m * density_kg_m3 * std::numbers::pi / 4 *
           filament_diameter_m * filament_diameter_m;
  }
  return 0;
}

std::optional<Error> impossible_piece(const SpoolRecord& record, std::size_t event,
                                      const Material& material, double left_kg) {
  const auto* piece = std::get_if<Piece>(&record.events[event]);
  if (piece == nullptr) return std::nullopt;
  const std::string where =
      record.file + " /events/" + std::to_string(event) + "/before_g";
  if (piece->after_kg > left_kg) {
    return Error{where,
                 "a piece of " + mass_text(piece->after_kg, 2) + " is more than the " +
                     mass_text(left_kg, 2) + " the spool can have held then",
                 "check the masses and their unit"};
  }
  const double loss = (piece->before_kg - piece->after_kg) / piece->after_kg;
  const double saturated = saturation_content(to_polymer(material));
  if (loss > kOverSaturation * saturated + kSigmas * loss_sd(*piece)) {
    return Error{where,
                 "the piece lost " + percent(loss) + " of its dry mass, and " +
                     material.id + " holds " + percent(saturated) + " when saturated",
                 "check both masses, their unit, and that nothing fell off"};
  }
  return std::nullopt;
}

std::vector<std::string> finding_doubts(const Event& event, const Material& material) {
  std::vector<std::string> out;
  const auto* piece = std::get_if<Piece>(&event);
  if (piece == nullptr) return out;
  Piece stated = *piece;
  if (stated.scale_sd_kg <= 0) stated.scale_sd_kg = kPieceScaleSdKg;
  const double room =
      equilibrium_content(to_polymer(material), 0.5, kIsothermReferenceK);
  if (loss_sd(stated) > kCoarseShare * room) {
    out.push_back("a scale of +- " + format_shortest(stated.scale_sd_kg * 1000) +
                  " g tells the moisture of " + mass_text(stated.after_kg, 2) +
                  " only to +- " + percent(loss_sd(stated)) +
                  ": is it a finer one, or can the piece be longer?");
  }
  const double most_k = kZeroCelsiusK + material.drying_max_c.value;
  if (stated.dried_k && *stated.dried_k > most_k + 0.5) {
    out.push_back("it was dried at " +
                  format_fixed(*stated.dried_k - kZeroCelsiusK, 0) + " C and " +
                  material.id + " is rated for " +
                  format_shortest(material.drying_max_c.value) +
                  " C here: what else than water may have gone counts as water");
  }
  return out;
}

}  // namespace drydepth
