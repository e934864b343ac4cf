#include "guard/forecast.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/parallel.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();
constexpr double kLookEveryS = 1800;

// Hours at which one member gets there.
struct MemberHours {
  double mean = kNever, outer = kNever, whole = kNever;
};

double wettest_layer(const PackModel& model, const PackState& state) {
  double out = 0;
  for (int i = 0; i < state.layers; ++i) {
    out = std::max(out, layer_content(model, state, i));
  }
  return out;
}

MemberHours dry_on(const Spool& spool, const HeaterAir& heater, double need_kg,
                   double limit, const Member& member) {
  PackSolver solver = spool_solver(spool, member);
  PackState state = replay(solver, spool, member).state;
  state.step_s = 0;
  const PackModel& model = solver.model();
  const Surroundings around = surroundings(heater, true, spool, member);
  if (around.chamber) state.y.chamber() = around.chamber->inlet_kg_m3;
  const double need = need_kg > 0 ? need_kg : remaining_mass_kg(model, state);
  MemberHours out;
  for (double now_s = 0; now_s <= kForecastS; now_s += kLookEveryS) {
    const double hours = now_s / kSecondsPerHour;
    if (out.mean == kNever && mean_content(model, state) <= limit) out.mean = hours;
    if (out.outer == kNever && dry_depth_kg(model, state, limit) >= need * (1 - 1e-9)) {
      out.outer = hours;
    }
    if (wettest_layer(model, state) <= limit) {
      out.whole = hours;
      if (out.outer < kNever) break;
    }
    solver.advance(state, around, kLookEveryS);
  }
  return out;
}

HoursUntil hours_until(const std::vector<MemberHours>& all,
                       double MemberHours::*field) {
  std::vector<double> sample;
  for (const MemberHours& m : all) sample.push_back(m.*field);
  const Percentiles p = percentiles(sample);
  const auto finite = [](double v) {
    return std::isfinite(v) ? std::optional<double>(v) : std::nullopt;
  };
  return {finite(p.p10), finite(p.p50), finite(p.p90)};
}

double mean_of(const std::vector<double>& v) {
  double sum = 0;
  for (const double x : v) sum += x;
  return sum / static_cast<double>(v.size());
}

double covariance(const std::vector<double>& a, const std::vector<double>& b) {
  const double mean_a = mean_of(a), mean_b = mean_of(b);
  double sum = 0;
  for (std::size_t k = 0; k < a.size(); ++k) sum += (a[k] - mean_a) * (b[k] - mean_b);
  return sum / static_cast<double>(a.size());
}

// How much of the target's standard deviation a reading of that noise would take away.
double narrowing(const std::vector<double>& target, const std::vector<double>& reading,
                 double sd) {
  const double spread = covariance(target, target);
  const double noisy = covariance(reading, reading) + sd * sd;
  if (spread <= 0 || noisy <= 0) return 0;
  const double shared = covariance(target, reading);
  return 1.0 - std::sqrt(std::max(0.0, 1.0 - shared * shared / (spread * noisy)));
}

// What a reading on a body that the filament was wound over to leaves open; nothing
// once one was taken there, since the next one is seen against it.
double open_tare_sd_kg(const Spool& spool) {
  const Timeline& timeline = spool.timeline;
  const std::size_t body = bodies_at_end(timeline);
  if (body == 0) return 0;
  const auto last = std::find_if(timeline.spans.rbegin(), timeline.spans.rend(),
                                 [](const Span& span) { return span.respool; });
  const bool weighed =
      !timeline.readings.empty() && timeline.readings.back().event > *last->event;
  return weighed ? 0 : spool.priors.later_bodies[body - 1].tare_sd_kg;
}

}  // namespace

Percentiles content_in_balance(const Spool& spool, const AirSpec& around,
                               const std::vector<Member>& members) {
  std::vector<double> sample;
  for (const Member& member : members) {
    Polymer polymer = to_polymer(spool.material);
    polymer.isotherm_slope *= member.isotherm;
    polymer.heat_of_mixing_j_mol += member.heat_of_mixing_j_mol;
    const Air air = surroundings(around, false, spool, member).air;
    sample.push_back(equilibrium_content(polymer, std::min(1.0, humidity(air).value),
                                         air.temperature_k));
  }
  return percentiles(sample);
}

std::optional<double> least_drying_k(const Spool& spool, HeaterAir heater, double limit,
                                     double ceiling_k,
                                     const std::vector<Member>& members) {
  const double room_k = heater.room ? heater.room->temperature_k : kIsothermReferenceK;
  for (double t_k = std::ceil(room_k); t_k <= ceiling_k; t_k += 1.0) {
    heater.temperature_k = t_k;
    if (content_in_balance(spool, heater, members).p50 <= 0.9 * limit) return t_k;
  }
  return std::nullopt;
}

DryingForecast forecast_drying(const Spool& spool, const HeaterAir& heater,
                               double need_kg, double limit, double ceiling_k,
                               const std::vector<Member>& members, unsigned threads) {
  std::vector<MemberHours> all(members.size());
  for_each_index(members.size(), threads, [&](std::size_t k) {
    all[k] = dry_on(spool, heater, need_kg, limit, members[k]);
  });
  DryingForecast out;
  out.mean = hours_until(all, &MemberHours::mean);
  out.outer = hours_until(all, &MemberHours::outer);
  out.whole = hours_until(all, &MemberHours::whole);
  out.floor = content_in_balance(spool, heater, members);
  out.reachable = out.floor.p50 < limit;
  out.least_k = least_drying_k(spool, heater, limit, ceiling_k, members);
  return out;
}

NextBest next_reading(const Spool& spool, const AirSpec& air, bool drying,
                      double drying_s, double limit, double scale_sd_kg,
                      double piece_sd, const std::vector<Member>& members,
                      unsigned threads) {
  // Candidates every hour of the drying, or now and over the next day on the shelf.
  const double span_s =
      drying ? std::max(drying_s, kSecondsPerHour) : 24 * kSecondsPerHour;
  const auto count = static_cast<std::size_t>(span_s / kSecondsPerHour) + 1;
  std::vector<double> depth(members.size()), outer(members.size());
  std::vector<std::vector<double>> reading(count, std::vector<double>(members.size()));
  for_each_index(members.size(), threads, [&](std::size_t m) {
    const Member& member = members[m];
    PackSolver solver = spool_solver(spool, member);
    PackState state = replay(solver, spool, member).state;
    state.step_s = 0;
    const PackModel& model = solver.model();
    const Surroundings around = surroundings(air, drying, spool, member);
    outer[m] = layer_content(model, state, state.layers - 1);
    if (!drying) depth[m] = dry_depth_kg(model, state, limit);
    for (std::size_t k = 0; k < count; ++k) {
      if (k > 0) solver.advance(state, around, kSecondsPerHour);
      reading[k][m] = foreseen_kg({.dry_kg = remaining_mass_kg(model, state),
                                   .content = mean_content(model, state),
                                   .body = bodies_at_end(spool.timeline)},
                                  spool.priors, member, 0);
    }
    if (drying) depth[m] = dry_depth_kg(model, state, limit);
  });
  const double reading_sd = std::hypot(scale_sd_kg, open_tare_sd_kg(spool));
  NextBest out;
  for (std::size_t k = 0; k < count; ++k) {
    const double narrows = narrowing(depth, reading[k], reading_sd);
    if (narrows > out.weighing.narrows + 0.005) {
      out.weighing = {static_cast<double>(k) * kSecondsPerHour, narrows};
    }
  }
  out.piece_narrows = narrowing(depth, outer, piece_sd);
  return out;
}

}  // namespace drydepth
