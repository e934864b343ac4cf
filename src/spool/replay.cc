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

Air first_air(const Spool& spool, const Member& member) {
  const std::vector<Span>& spans = spool.timeline.spans;
  if (spans.empty()) return make_air(Celsius{23}, Activity{0.5});
  return surroundings(spans.front().air, false, spool, member).air;
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

// One member's way through a timeline, span after span.
class Replay {
 public:
  Replay(PackSolver& solver, const Spool& spool, const Member& member)
      : solver_(solver),
        spool_(spool),
        member_(member),
        stops_(stops_of(spool.timeline)),
        body_(spool.priors.body, spool.priors.tare_kg + member.tare_kg,
              member.body_time, first_air(spool, member)),
        life_{.state = opening_state(
                  solver, spool.record.opened, spool.priors.opening_content,
                  member.opening_content, Kelvin{spool.priors.opening_temperature_k}),
              .readings = {},
              .outer = {}} {}

  Life life() {
    const std::vector<Span>& spans = spool_.timeline.spans;
    for (std::size_t k = 0; k < spans.size(); ++k) {
      spans[k].respool ? wind(spans[k]) : stand(spans[k], k + 1);
    }
    while (next_ < stops_.size()) look();  // a record of looks only
    return std::move(life_);
  }

 private:
  bool pending(const Span& span) const {
    return next_ < stops_.size() && stops_[next_].at <= span.to;
  }

  // At the next stop: a reading of the scale, or a finding, which takes filament off.
  void look() {
    const Stop& stop = stops_[next_++];
    const PackModel& model = solver_.model();
    if (stop.finding) {
      const OuterEvidence& e = spool_.timeline.evidence[*stop.finding];
      life_.outer.push_back(outer_content(model, life_.state, e.mass_kg));
      take_from_outside(model, e.used_kg, life_.state);
    } else {
      life_.readings.push_back(weigh(model, life_.state, body_.departure_kg(),
                                     std::sqrt(used_variance_kg2_), bodies_));
    }
  }

  void wind(const Span& span) {
    const Surroundings around = around_in(span);
    while (pending(span) && stops_[next_].event < *span.event) look();
    wind_over(solver_, std::get<Respool>(spool_.record.events[*span.event]), around.air,
              life_.state);
    const LaterBody& later = spool_.priors.later_bodies[bodies_++];
    body_ = BodyWaterState(later.water, later.tare_kg, member_.body_time, around.air);
  }

  void stand(const Span& span, std::size_t next_span) {
    Surroundings around = around_in(span);
    if (span.air_end)
      drift_to(*span.air_end, seconds_between(span.from, span.to), around);
    if (around.chamber) life_.state.y.chamber() = around.chamber->inlet_kg_m3;
    life_.state.step_s = 0;
    Instant now = span.from;
    while (pending(span) && !waits(stops_[next_], spool_.timeline, next_span)) {
      const Instant at = std::max(now, stops_[next_].at);
      go_on(span, seconds_between(now, at), around);
      now = at;
      look();
    }
    go_on(span, seconds_between(now, span.to), around);
  }

  // What is used goes evenly over the span; air that drifts ends where it has got to.
  void go_on(const Span& span, double seconds, Surroundings& around) {
    const double length_s = seconds_between(span.from, span.to);
    const double used_kg = length_s > 0 ? span.used_kg * seconds / length_s : 0.0;
    const std::array<DrawPoint, 2> curve{DrawPoint{}, DrawPoint{seconds, used_kg}};
    draw(solver_, life_.state, around, curve);
    body_.stand(around, seconds);
    around.air.temperature_k += seconds * around.temperature_rate_k_s;
    around.air.vapour_kg_m3 += seconds * around.vapour_rate_kg_m3_s;
    if (length_s > 0) {
      used_variance_kg2_ += span.used_sd_kg * span.used_sd_kg * seconds / length_s;
    }
  }

  Surroundings around_in(const Span& span) const {
    const bool fan = span.kind == SpanKind::kDrying || span.feed == Feed::kLiveDryer;
    return surroundings(span.air, fan, spool_, member_);
  }

  PackSolver& solver_;
  const Spool& spool_;
  const Member& member_;
  std::vector<Stop> stops_;
  std::size_t next_ = 0;  // of the stops
  BodyWaterState body_;
  std::size_t bodies_ = 0;  // that it was wound over to
  double used_variance_kg2_ = 0;
  Life life_;
};

}  // namespace

PackSolver spool_solver(const Spool& spool, const Member& member,
                        const PackOptions& options) {
  const SpoolRecord& record = spool.record;
  Polymer polymer = to_polymer(spool.material);
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
  return {polymer, spool_winding(record, spool.material), pack, options};
}

Surroundings surroundings(const AirSpec& air, bool fan, const Spool& spool,
                          const Member& member) {
  Surroundings out;
  const double film =
      spool.record.pack.film_w_m2k.value_or(fan ? kDryerFilmWM2K : kStillFilmWM2K);
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

Life replay(PackSolver& solver, const Spool& spool, const Member& member) {
  return Replay(solver, spool, member).life();
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
