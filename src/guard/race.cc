#include "guard/race.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/parallel.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// Hours after which the depth is looked at again: dense first, since a depth falls fast
// and then slowly.
constexpr double kLaterHours[] = {0.5, 1,  2,  3,  4,  6,   8,   12,  16,
                                  24,  36, 48, 72, 96, 144, 192, 240, 336};

constexpr double kNever = std::numeric_limits<double>::infinity();

// What one member says of the spool before the job.
struct MemberNow {
  double mean = 0, cosmetic_depth_kg = 0, strength_depth_kg = 0;
  std::vector<double> mass_kg, content, surface, core,
      temperature_k;  // outermost first
};

// What one member says of the job from one feed.
struct MemberRace {
  std::vector<NozzleSample> samples;
  double cosmetic_kg = kNever, strength_kg = kNever;  // first crossing
  double cosmetic_above_kg = 0, strength_above_kg = 0;
  double mean_after = 0, taken_kg = 0;
  bool ran_out = false;
};

struct MemberResult {
  MemberNow now;
  std::vector<LaterDepth> later;
  std::vector<MemberRace> feeds;
};

MemberNow look(const PackModel& model, const PackState& state, const Limits& limits) {
  MemberNow now;
  now.mean = mean_content(model, state);
  now.cosmetic_depth_kg = dry_depth_kg(model, state, limits.cosmetic);
  now.strength_depth_kg = dry_depth_kg(model, state, limits.strength);
  for (int i = state.layers - 1; i >= 0; --i) {
    now.mass_kg.push_back(remaining_mass_kg(model, state, i));
    now.content.push_back(layer_content(model, state, i));
    now.surface.push_back(surface_content(model, state, i));
    now.core.push_back(state.y.content(0)[i]);
    now.temperature_k.push_back(state.y.temperature()[i]);
  }
  return now;
}

std::vector<LaterDepth> look_ahead(PackSolver& solver, PackState state,
                                   const Surroundings& room, const Limits& limits) {
  std::vector<LaterDepth> out;
  double passed_s = 0;
  const auto note = [&] {
    out.push_back({passed_s, dry_depth_kg(solver.model(), state, limits.cosmetic),
                   dry_depth_kg(solver.model(), state, limits.strength)});
  };
  note();
  for (const double hours : kLaterHours) {
    // Once nothing is left of either depth the rest is known.
    if (out.back().cosmetic_kg > 0 || out.back().strength_kg > 0) {
      solver.advance(state, room, hours * kSecondsPerHour - passed_s);
    }
    passed_s = hours * kSecondsPerHour;
    note();
  }
  return out;
}

MemberRace race_once(PackSolver& solver, PackState state, const Surroundings& around,
                     const std::vector<DrawPoint>& curve, const Limits& limits) {
  if (around.chamber) state.y.chamber() = around.chamber->inlet_kg_m3;
  const DrawResult result = draw(solver, state, around, curve);
  MemberRace out{.samples = result.samples,
                 .cosmetic_above_kg = mass_above_kg(result.samples, limits.cosmetic),
                 .strength_above_kg = mass_above_kg(result.samples, limits.strength),
                 .mean_after = mean_content(solver.model(), state),
                 .taken_kg = result.taken_kg,
                 .ran_out = result.ran_out};
  out.cosmetic_kg = first_crossing_kg(result.samples, limits.cosmetic).value_or(kNever);
  out.strength_kg = first_crossing_kg(result.samples, limits.strength).value_or(kNever);
  return out;
}

MemberResult run_member(const Contest& contest, const std::vector<DrawPoint>& curve,
                        const std::vector<FeedAir>& feeds, const Member& member) {
  PackSolver solver = spool_solver(contest.record, contest.material, member);
  PackState start =
      replay(solver, contest.record, contest.priors, contest.timeline, member).state;
  start.step_s = 0;
  MemberResult out{
      .now = look(solver.model(), start, contest.limits),
      .later = look_ahead(solver, start,
                          surroundings(contest.room, false, contest.record, member),
                          contest.limits),
      .feeds = {}};
  if (curve.empty()) return out;
  for (const FeedAir& feed : feeds) {
    const bool fan = feed.feed == Feed::kLiveDryer;
    out.feeds.push_back(race_once(solver, start,
                                  surroundings(feed.air, fan, contest.record, member),
                                  by_hand(curve, feed.hand), contest.limits));
  }
  return out;
}

// Percentiles over the members of one number each.
template <class Number>
Percentiles over(const std::vector<MemberResult>& all, Number number) {
  std::vector<double> sample;
  sample.reserve(all.size());
  for (const MemberResult& m : all) sample.push_back(number(m));
  return percentiles(sample);
}

SpoolEstimate summarise_now(const std::vector<MemberResult>& all) {
  SpoolEstimate out;
  out.mean = over(all, [](const MemberResult& m) { return m.now.mean; });
  out.cosmetic_depth_kg =
      over(all, [](const MemberResult& m) { return m.now.cosmetic_depth_kg; });
  out.strength_depth_kg =
      over(all, [](const MemberResult& m) { return m.now.strength_depth_kg; });
  // Every member has the same layers: the winding and what was used are not varied.
  const std::vector<double>& masses = all.front().now.mass_kg;
  for (std::size_t k = 0; k < masses.size(); ++k) {
    const auto layer = [&](std::vector<double> MemberNow::*field) {
      return over(all, [&](const MemberResult& m) { return (m.now.*field)[k]; });
    };
    out.remaining_kg += masses[k];
    out.layers.push_back({.mass_kg = masses[k],
                          .content = layer(&MemberNow::content),
                          .surface = layer(&MemberNow::surface),
                          .core = layer(&MemberNow::core),
                          .temperature_k = layer(&MemberNow::temperature_k)});
  }
  for (std::size_t k = 0; k < all.front().later.size(); ++k) {
    const auto middle = [&](double LaterDepth::*depth) {
      return over(all, [&](const MemberResult& m) { return m.later[k].*depth; }).p50;
    };
    out.later.push_back({all.front().later[k].after_s, middle(&LaterDepth::cosmetic_kg),
                         middle(&LaterDepth::strength_kg)});
  }
  return out;
}

LimitRace summarise_limit(const std::vector<MemberResult>& all, std::size_t feed,
                          double MemberRace::*crossing, double MemberRace::*above) {
  LimitRace out;
  std::size_t count = 0;
  for (const MemberResult& m : all) count += std::isfinite(m.feeds[feed].*crossing);
  out.share_above = static_cast<double>(count) / static_cast<double>(all.size());
  const Percentiles place =
      over(all, [&](const MemberResult& m) { return m.feeds[feed].*crossing; });
  const auto finite = [](double kg) {
    return std::isfinite(kg) ? std::optional<double>(kg) : std::nullopt;
  };
  out.crossing_kg = {finite(place.p10), finite(place.p50), finite(place.p90)};
  out.above_kg = over(all, [&](const MemberResult& m) { return m.feeds[feed].*above; });
  return out;
}

FeedRace summarise_feed(const std::vector<MemberResult>& all, std::size_t feed,
                        const FeedAir& air) {
  FeedRace out;
  out.feed = air;
  out.cosmetic = summarise_limit(all, feed, &MemberRace::cosmetic_kg,
                                 &MemberRace::cosmetic_above_kg);
  out.strength = summarise_limit(all, feed, &MemberRace::strength_kg,
                                 &MemberRace::strength_above_kg);
  const std::vector<NozzleSample>& places = all.front().feeds[feed].samples;
  for (std::size_t k = 0; k < places.size(); ++k) {
    out.nozzle.push_back({.mass_kg = places[k].mass_kg,
                          .time_s = places[k].time_s,
                          .content = over(all, [&](const MemberResult& m) {
                            return m.feeds[feed].samples[k].content;
                          })});
  }
  out.mean_after =
      over(all, [&](const MemberResult& m) { return m.feeds[feed].mean_after; });
  const MemberRace& first = all.front().feeds[feed];
  if (first.ran_out) out.ran_out_kg = first.taken_kg;
  return out;
}

}  // namespace

bool can_tell(const Contest& contest, const SpoolEstimate& estimate) {
  const OpenedRecord& opened = contest.record.opened;
  if (opened.moisture || !opened.layers.empty()) return true;
  const double guess =
      2.0 * normal_quantile(0.9) * contest.priors.spread.opening_content;
  return estimate.mean.p90 - estimate.mean.p10 <= 0.5 * guess;
}

std::optional<double> valid_for_s(const SpoolEstimate& estimate,
                                  double LaterDepth::*depth, double needed_kg) {
  if (estimate.later.empty()) return std::nullopt;
  const double now = estimate.later.front().*depth;
  if (now <= 0) return std::nullopt;
  double floor = 0.8 * now;
  if (needed_kg > 0 && now >= needed_kg) floor = std::max(floor, needed_kg);
  for (std::size_t k = 1; k < estimate.later.size(); ++k) {
    const LaterDepth& a = estimate.later[k - 1];
    const LaterDepth& b = estimate.later[k];
    if (b.*depth >= floor) continue;
    return a.after_s +
           (b.after_s - a.after_s) * (a.*depth - floor) / (a.*depth - b.*depth);
  }
  return std::nullopt;
}

Limits limits_of(const Material& material) {
  return {cosmetic_limit(material).value, strength_limit(material).value};
}

std::vector<DrawPoint> draw_curve(const ToolTrace& tool, double duration_s,
                                  const SpoolRecord& record, const Material& material) {
  std::vector<DrawPoint> curve{DrawPoint{}};
  for (const TracePoint& p : tool.points) {
    const double mass_kg = strand_mass_kg(
        p.length_mm / 1000.0, record.filament_diameter_m, material.density_kg_m3.value);
    if (mass_kg > curve.back().mass_kg || p.time_s > curve.back().time_s) {
      curve.push_back({p.time_s, mass_kg});
    }
  }
  if (duration_s > curve.back().time_s) {
    curve.push_back({duration_s, curve.back().mass_kg});
  }
  return curve;
}

std::vector<DrawPoint> by_hand(std::vector<DrawPoint> curve, const Hand& hand) {
  for (DrawPoint& p : curve) {
    p.time_s /= hand.speed;
    p.mass_kg *= hand.flow;
  }
  return curve;
}

SpoolRace run_race(const Contest& contest, const std::vector<DrawPoint>& curve,
                   const std::vector<FeedAir>& feeds,
                   const std::vector<Member>& members, unsigned threads) {
  std::vector<MemberResult> all(members.size());
  for_each_index(members.size(), threads, [&](std::size_t k) {
    all[k] = run_member(contest, curve, feeds, members[k]);
  });
  SpoolRace out;
  out.now = summarise_now(all);
  if (!curve.empty()) {
    for (std::size_t f = 0; f < feeds.size(); ++f) {
      out.feeds.push_back(summarise_feed(all, f, feeds[f]));
    }
  }
  return out;
}

}  // namespace drydepth
