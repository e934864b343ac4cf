#include "spool/replay.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/numbers.h"
#include "moisture/consumption.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// Chamber of a heater whose air exchange is known and whose size is not, m3: a box
// around one spool, common practice, no source. Its air holds under 1 % of a wet
// spool's water, so the size hardly matters.
constexpr double kChamberM3 = 0.02;

// A spool whose content at opening nobody states: from the bag it may be anything
// between nearly nothing and room equilibrium (a dryer vendor's survey of new nylon
// spools found most above 0.75 %; read, medium).
constexpr double kUnknownShare = 0.5;
constexpr double kUnknownShareSd = 0.3;

double content_of_room_air(const Material& material) {
  return equilibrium_content(to_polymer(material), 0.5, kIsothermReferenceK);
}

WindingFacts winding_facts(const SpoolRecord& record, const Material& material) {
  WindingFacts facts{.strand_diameter_m = record.filament_diameter_m,
                     .width_m = record.winding.width_m,
                     .density_kg_m3 = material.density_kg_m3.value};
  const auto radius = [](const std::optional<double>& diameter) {
    return diameter ? std::optional<double>(*diameter / 2.0) : std::nullopt;
  };
  facts.hub_radius_m = radius(record.winding.hub_diameter_m);
  facts.outer_radius_m = radius(record.winding.outer_diameter_m);
  facts.dry_mass_kg = record.winding.full_net_kg;
  return facts;
}

void take_from_outside(const PackModel& model, double mass_kg, PackState& state) {
  while (state.layers > 0 && mass_kg > 0) {
    const double left = remaining_mass_kg(model, state, state.layers - 1);
    if (mass_kg < left) {
      state.consumed_kg += mass_kg;
      return;
    }
    mass_kg -= left;
    drop_layer(model, state);
  }
}

// A spool begun elsewhere starts with what it has left.
void leave_what_was_left(const PackModel& model, const OpenedRecord& opened,
                         PackState& state) {
  const double whole = dry_mass_kg(model.winding);
  if (opened.net_kg) take_from_outside(model, whole - *opened.net_kg, state);
  if (opened.outer_diameter_m && !opened.net_kg) {
    const double r = *opened.outer_diameter_m / 2.0;
    const double hub = model.winding.hub_radius_m, outer = model.winding.outer_radius_m;
    const double share = (r * r - hub * hub) / (outer * outer - hub * hub);
    take_from_outside(model, whole * (1.0 - share), state);
  }
}

}  // namespace

SpoolPriors spool_priors(const SpoolRecord& record, const Material& material) {
  SpoolPriors out;
  const double room = content_of_room_air(material);
  out.opening_content = record.opened.moisture.value_or(kUnknownShare * room);
  out.opening_temperature_k = record.opened.temperature_k.value_or(kIsothermReferenceK);
  out.spread.opening_content =
      record.opened.moisture_sd.value_or(record.opened.moisture
                                             ? 0.2 * *record.opened.moisture
                                             : kUnknownShareSd * room);
  if (!record.opened.moisture) {
    out.notes.push_back(
        "the record states no moisture at opening: taken as half of what room air gives, "
        "with a wide spread");
  }
  const DiffusivityRule& d = material.diffusivity;
  const IsothermRule& i = material.isotherm;
  out.spread.diffusivity_log = d.reference_m2_s.log_sd.value_or(out.spread.diffusivity_log);
  out.spread.isotherm_log = i.slope.log_sd.value_or(out.spread.isotherm_log);
  out.spread.heat_of_mixing_j_mol = i.heat_of_mixing_j_mol.sd.value_or(0.0);
  return out;
}

std::vector<std::string> timeline_notes(const Timeline& timeline) {
  double assumed_s = 0;
  bool room = false;
  for (const Span& span : timeline.spans) {
    if (span.assumed) assumed_s += seconds_between(span.from, span.to);
    room |= span.room_assumed;
  }
  std::vector<std::string> out;
  if (assumed_s > 0) {
    out.push_back(format_fixed(assumed_s / kSecondsPerHour, 1) +
                  " h that no event covers are taken as storage in room air");
  }
  if (room) out.push_back("an event leaves the air open: room air is taken");
  return out;
}

Winding spool_winding(const SpoolRecord& record, const Material& material) {
  return make_winding(winding_facts(record, material));
}

PackSolver spool_solver(const SpoolRecord& record, const Material& material,
                        const Member& member, const PackOptions& options) {
  Polymer polymer = to_polymer(material);
  polymer.isotherm_slope *= member.isotherm;
  polymer.heat_of_mixing_j_mol += member.heat_of_mixing_j_mol;
  polymer.diffusivity_ref_m2_s *= member.diffusivity;
  const PackProperties defaults;
  const PackRecord& own = record.pack;
  PackProperties pack;
  pack.gap_factor =
      std::min(1.0, own.gap_factor.value_or(defaults.gap_factor) * member.gap_factor);
  pack.conductivity_w_mk = own.conductivity_w_mk.value_or(defaults.conductivity_w_mk);
  pack.side_w_m2k = own.side_w_m2k.value_or(defaults.side_w_m2k) * member.side;
  pack.hub_open_fraction = record.body.hub_open ? 1.0 : 0.0;
  return {polymer, spool_winding(record, material), pack, options};
}

Surroundings surroundings(const AirSpec& air, bool fan, const SpoolRecord& record,
                          const Member& member) {
  Surroundings out;
  const double film = record.pack.film_w_m2k.value_or(fan ? kDryerFilmWM2K
                                                          : kStillFilmWM2K);
  out.film_w_m2k = film * member.film;
  if (const auto* stated = std::get_if<StatedAir>(&air)) {
    out.air = make_air(to_celsius(Kelvin{stated->temperature_k}),
                       Activity{stated->activity});
  } else if (const auto* heater = std::get_if<HeaterAir>(&air)) {
    const StatedAir room = heater->room.value_or(StatedAir{});
    const Kelvin hot{heater->temperature_k + member.dryer_air_k};
    out.air = heated_air(to_celsius(hot), to_celsius(Kelvin{room.temperature_k}),
                         Activity{room.activity});
    if (heater->exchange_m3_s) {
      out.chamber = Chamber{.volume_m3 = heater->chamber_m3.value_or(kChamberM3),
                            .exchange_m3_s = *heater->exchange_m3_s,
                            .inlet_kg_m3 = out.air.vapour_kg_m3};
    }
  }
  return out;
}

PackState replay(PackSolver& solver, const SpoolRecord& record, const SpoolPriors& priors,
                 const Timeline& timeline, const Member& member) {
  const double saturated = saturation_content(solver.model().polymer);
  const double content =
      std::clamp(priors.opening_content + member.opening_content, 0.0, saturated);
  PackState state =
      solver.uniform(DryBasis{content}, Kelvin{priors.opening_temperature_k});
  leave_what_was_left(solver.model(), record.opened, state);
  for (const Span& span : timeline.spans) {
    const bool fan = span.kind == SpanKind::kDrying || span.feed == Feed::kLiveDryer;
    const Surroundings around = surroundings(span.air, fan, record, member);
    if (around.chamber) state.y.chamber() = around.chamber->inlet_kg_m3;
    const std::array<DrawPoint, 2> curve{
        DrawPoint{}, DrawPoint{seconds_between(span.from, span.to), span.used_kg}};
    draw(solver, state, around, curve);
  }
  return state;
}

}  // namespace drydepth
