#include "spool/replay.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "base/numbers.h"
#include "moisture/consumption.h"
#include "moisture/pack_state.h"
#include "moisture/respool.h"
#include "spool/opening.h"
#include "spool/wound.h"

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
// One that has stood anywhere since it was opened: at room equilibrium as likely as
// not, and from nearly nothing to a damp cellar (design value).
constexpr double kAnywhereShare = 0.9;
constexpr double kAnywhereShareSd = 0.5;

double content_of_room_air(const Material& material) {
  return equilibrium_content(to_polymer(material), 0.5, kIsothermReferenceK);
}

// The mean moisture that a record opens with; nothing where it states none.
std::optional<double> stated_content(const SpoolRecord& record,
                                     const Material& material) {
  if (record.opened.layers.empty()) return record.opened.moisture;
  return mean_of_layers(spool_winding(record, material), record.opened);
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

// The water of a body that holds some, against what it held when its tare was taken: in
// equilibrium with the air it is first seen in.
class BodyWaterState {
 public:
  BodyWaterState(const std::optional<BodyLaw>& law, double tare_kg, double time_factor,
                 const Air& first) {
    if (!law) return;
    law_ = *law;
    law_.time_constant_s *= time_factor;
    start_ = content_ = body_equilibrium(law_, std::min(1.0, humidity(first).value));
    dry_kg_ = tare_kg / (1.0 + start_);
  }

  void stand(const Surroundings& around, double seconds) {
    if (dry_kg_ <= 0 || seconds <= 0) return;
    content_ = body_content_after(law_, content_,
                                  std::min(1.0, humidity(around.air).value), seconds);
  }

  double departure_kg() const { return dry_kg_ * (content_ - start_); }

 private:
  BodyLaw law_;
  double dry_kg_ = 0, start_ = 0, content_ = 0;
};

Air first_air(const Timeline& timeline, const SpoolRecord& record,
              const Member& member) {
  if (timeline.spans.empty()) return make_air(Celsius{23}, Activity{0.5});
  return surroundings(timeline.spans.front().air, false, record, member).air;
}

// From here on the solver is one of the new winding. The gap factor stays: nothing is
// known of how tightly it was wound this time.
void wind_over(PackSolver& solver, const Respool& respool, const Air& air,
               PackState& state) {
  if (state.layers == 0) return;
  const PackModel& before = solver.model();
  const Winding winding =
      wound_over(before.winding, remaining_mass_kg(before, state), respool);
  PackProperties properties = before.properties;
  properties.hub_open_fraction = respool.body.hub_open ? 1.0 : 0.0;
  PackSolver after(before.polymer, winding, properties, solver.options());
  state = drydepth::respool(before, state, after.model(), air);
  solver = std::move(after);
}

// Logged air between two of its knots.
void drift_to(const StatedAir& end, double seconds, Surroundings& around) {
  const Air last =
      make_air(to_celsius(Kelvin{end.temperature_k}), Activity{end.activity});
  around.temperature_rate_k_s =
      (last.temperature_k - around.air.temperature_k) / seconds;
  around.vapour_rate_kg_m3_s = (last.vapour_kg_m3 - around.air.vapour_kg_m3) / seconds;
}

OnTheScale weigh(const PackModel& model, const PackState& state, double body_water_kg,
                 double used_sd_kg, std::size_t body) {
  return {.dry_kg = remaining_mass_kg(model, state),
          .content = mean_content(model, state),
          .outer_content =
              state.layers > 0 ? layer_content(model, state, state.layers - 1) : 0.0,
          .body_water_kg = body_water_kg,
          .used_sd_kg = used_sd_kg,
          .body = body};
}

// A moment to look at the spool: a reading of the scale, or a finding.
struct Stop {
  Instant at{};
  std::size_t event = 0;
  std::optional<std::size_t> finding{};
};

// In the order of the record, where two share a moment.
std::vector<Stop> stops_of(const Timeline& timeline) {
  std::vector<Stop> out;
  for (const ScaleReading& r : timeline.readings) out.push_back({r.at, r.event, {}});
  for (std::size_t k = 0; k < timeline.evidence.size(); ++k) {
    out.push_back({timeline.evidence[k].at, timeline.evidence[k].event, k});
  }
  std::stable_sort(out.begin(), out.end(), [](const Stop& a, const Stop& b) {
    return a.at != b.at ? a.at < b.at : a.event < b.event;
  });
  return out;
}

// A look at the very moment of a respool that the record has further down.
bool waits(const Stop& stop, const Timeline& timeline, std::size_t next) {
  if (next >= timeline.spans.size()) return false;
  const Span& span = timeline.spans[next];
  return span.respool && stop.at == span.from && stop.event > *span.event;
}

// Empty spools weigh 120 to 260 g (common practice, no source).
constexpr double kUnknownTareKg = 0.19;
constexpr double kUnknownTareSdKg = 0.05;
// Net mass where only sizes are known: the fill is a guess then.
constexpr double kUnknownMassSd = 0.08;

std::optional<BodyLaw> law_of(const Body& body) {
  if (!body.water) return std::nullopt;
  return BodyLaw{body.water->slope.value, body.water->curvature.value,
                 body.water->time_constant_h.value * kSecondsPerHour};
}

LaterBody later_body(const BodyRecord& record, const std::optional<Body>& body) {
  return {.tare_kg = record.tare_kg.value_or(kUnknownTareKg),
          .tare_sd_kg = record.tare_kg ? record.tare_sd_kg : kUnknownTareSdKg,
          .water = body ? law_of(*body) : std::nullopt};
}

void weighing_priors(const SpoolRecord& record, const Body& body,
                     const std::vector<Body>& later, SpoolPriors& out) {
  out.tare_kg = record.body.tare_kg.value_or(kUnknownTareKg);
  out.spread.tare_kg = record.body.tare_kg ? record.body.tare_sd_kg : kUnknownTareSdKg;
  out.spread.dry_mass = record.winding.full_net_kg ? record.winding.full_net_sd_kg /
                                                         *record.winding.full_net_kg
                                                   : kUnknownMassSd;
  out.body = law_of(body);
  for (const Event& event : record.events) {
    const auto* respool = std::get_if<Respool>(&event);
    if (respool == nullptr) continue;
    const std::size_t k = out.later_bodies.size();
    out.later_bodies.push_back(
        later_body(respool->body,
                   k < later.size() ? std::optional<Body>(later[k]) : std::nullopt));
  }
  if (body.water) {
    out.spread.body_time_log = body.water->time_constant_h.log_sd.value_or(0.7);
  }
}

}  // namespace

SpoolPriors spool_priors(const SpoolRecord& record, const Material& material,
                         const Body& body, const std::vector<Body>& later) {
  SpoolPriors out;
  const double room = content_of_room_air(material);
  const bool anywhere = record.opened.history_unknown;
  const std::optional<double> stated = stated_content(record, material);
  out.opening_content =
      stated.value_or((anywhere ? kAnywhereShare : kUnknownShare) * room);
  out.opening_temperature_k = record.opened.temperature_k.value_or(kIsothermReferenceK);
  out.spread.opening_content = record.opened.moisture_sd.value_or(
      stated ? 0.2 * *stated : (anywhere ? kAnywhereShareSd : kUnknownShareSd) * room);
  if (!stated && anywhere) {
    out.notes.push_back(
        "nobody knows where the spool has been: its moisture at the record's start may "
        "be anything up to what damp air gives");
  } else if (!stated) {
    out.notes.push_back(
        "the record states no moisture at opening: taken as half of what room air "
        "gives, "
        "with a wide spread");
  }
  const DiffusivityRule& d = material.diffusivity;
  const IsothermRule& i = material.isotherm;
  out.spread.diffusivity_log =
      d.reference_m2_s.log_sd.value_or(out.spread.diffusivity_log);
  out.spread.isotherm_log = i.slope.log_sd.value_or(out.spread.isotherm_log);
  out.spread.heat_of_mixing_j_mol = i.heat_of_mixing_j_mol.sd.value_or(0.0);
  weighing_priors(record, body, later, out);
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
  out.insert(out.end(), timeline.notes.begin(), timeline.notes.end());
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
  const double film =
      record.pack.film_w_m2k.value_or(fan ? kDryerFilmWM2K : kStillFilmWM2K);
  out.film_w_m2k = film * member.film;
  if (const auto* stated = std::get_if<StatedAir>(&air)) {
    out.air =
        make_air(to_celsius(Kelvin{stated->temperature_k}), Activity{stated->activity});
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

Life replay(PackSolver& solver, const SpoolRecord& record, const SpoolPriors& priors,
            const Timeline& timeline, const Member& member) {
  Life life{.state = opening_state(solver, record.opened, priors.opening_content,
                                   member.opening_content,
                                   Kelvin{priors.opening_temperature_k}),
            .readings = {},
            .outer = {}};
  BodyWaterState body(priors.body, priors.tare_kg + member.tare_kg, member.body_time,
                      first_air(timeline, record, member));
  double used_variance = 0;
  std::size_t bodies = 0;  // that it was wound over to
  const std::vector<Stop> stops = stops_of(timeline);
  auto stop = stops.begin();
  const auto look = [&] {
    const PackModel& model = solver.model();
    if (stop->finding) {
      const OuterEvidence& e = timeline.evidence[*stop->finding];
      life.outer.push_back(outer_content(model, life.state, e.mass_kg));
      take_from_outside(model, e.used_kg, life.state);
    } else {
      life.readings.push_back(weigh(model, life.state, body.departure_kg(),
                                    std::sqrt(used_variance), bodies));
    }
    ++stop;
  };
  for (std::size_t s = 0; s < timeline.spans.size(); ++s) {
    const Span& span = timeline.spans[s];
    const bool fan = span.kind == SpanKind::kDrying || span.feed == Feed::kLiveDryer;
    Surroundings around = surroundings(span.air, fan, record, member);
    const auto pending = [&] { return stop != stops.end() && stop->at <= span.to; };
    if (span.respool) {
      while (pending() && stop->event < *span.event) look();
      wind_over(solver, std::get<Respool>(record.events[*span.event]), around.air,
                life.state);
      const LaterBody& later = priors.later_bodies[bodies++];
      body = BodyWaterState(later.water, later.tare_kg, member.body_time, around.air);
      continue;
    }
    if (span.air_end)
      drift_to(*span.air_end, seconds_between(span.from, span.to), around);
    if (around.chamber) life.state.y.chamber() = around.chamber->inlet_kg_m3;
    life.state.step_s = 0;
    const double length_s = seconds_between(span.from, span.to);
    Instant now = span.from;
    const auto go_to = [&](Instant at) {
      const double seconds = seconds_between(now, at);
      const double used_kg = length_s > 0 ? span.used_kg * seconds / length_s : 0.0;
      const std::array<DrawPoint, 2> curve{DrawPoint{}, DrawPoint{seconds, used_kg}};
      draw(solver, life.state, around, curve);
      body.stand(around, seconds);
      around.air.temperature_k += seconds * around.temperature_rate_k_s;
      around.air.vapour_kg_m3 += seconds * around.vapour_rate_kg_m3_s;
      if (length_s > 0) {
        used_variance += span.used_sd_kg * span.used_sd_kg * seconds / length_s;
      }
      now = at;
    };
    while (pending() && !waits(*stop, timeline, s + 1)) {
      go_to(std::max(now, stop->at));
      look();
    }
    go_to(span.to);
  }
  while (stop != stops.end()) look();  // a record of looks only
  return life;
}

std::size_t bodies_at_end(const Timeline& timeline) {
  return static_cast<std::size_t>(
      std::count_if(timeline.spans.begin(), timeline.spans.end(),
                    [](const Span& span) { return span.respool; }));
}

double tare_of(const SpoolPriors& priors, std::size_t body) {
  return body == 0 ? priors.tare_kg : priors.later_bodies[body - 1].tare_kg;
}

double foreseen_kg(const OnTheScale& scale, const SpoolPriors& priors,
                   const Member& member, double days_since_first) {
  const double tare_kg =
      tare_of(priors, scale.body) + (scale.body == 0 ? member.tare_kg : 0.0);
  return scale.dry_kg * member.dry_mass * (1.0 + scale.content) + tare_kg +
         scale.body_water_kg - member.used * scale.used_sd_kg +
         member.scale_drift_kg_day * days_since_first;
}

}  // namespace drydepth
