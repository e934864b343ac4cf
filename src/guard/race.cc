#include "guard/race.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// What one member says of the job from one feed.
struct MemberRace {
  std::vector<NozzleSample> samples;
  ByLimit<double> crossing_kg{};  // the first one
  ByLimit<double> above_kg{};
  double mean_after = 0, taken_kg = 0;
  bool ran_out = false;
};

// By member, then by feed.
using Races = std::vector<std::vector<MemberRace>>;

MemberRace race_once(PackSolver& solver, const Spool& spool, const MemberStart& start,
                     const std::vector<DrawPoint>& curve, const FeedAir& feed) {
  const Surroundings around = around_spool(spool, feed, start.member);
  PackState state = start.state;
  if (around.chamber) state.y.chamber() = around.chamber->inlet_kg_m3;
  const DrawResult result = draw(solver, state, around, curve);
  MemberRace out{.samples = result.samples,
                 .mean_after = mean_content(solver.model(), state),
                 .taken_kg = result.taken_kg,
                 .ran_out = result.ran_out};
  for (const Limit limit : kLimits) {
    const double content = spool.limits[limit];
    out.crossing_kg[limit] =
        first_crossing_kg(result.samples, content).value_or(kNeverKg);
    out.above_kg[limit] = mass_above_kg(result.samples, content);
  }
  return out;
}

// Percentiles over the members of one number each.
template <class Number>
Percentiles over(const Races& all, Number number) {
  std::vector<double> sample;
  sample.reserve(all.size());
  for (const std::vector<MemberRace>& feeds : all) sample.push_back(number(feeds));
  return percentiles(sample);
}

LimitRace summarise_limit(const Races& all, std::size_t feed, Limit limit) {
  std::vector<double> crossings;
  crossings.reserve(all.size());
  for (const auto& feeds : all) crossings.push_back(feeds[feed].crossing_kg[limit]);
  return {.share_above = chance_of(crossings),
          .crossing_kg = places_of(crossings),
          .above_kg = over(
              all, [&](const auto& feeds) { return feeds[feed].above_kg[limit]; })};
}

FeedRace summarise_feed(const Races& all, std::size_t feed, const FeedAir& air) {
  FeedRace out;
  out.feed = air;
  for (const Limit limit : kLimits) {
    out.limits[limit] = summarise_limit(all, feed, limit);
  }
  const std::vector<NozzleSample>& places = all.front()[feed].samples;
  for (std::size_t k = 0; k < places.size(); ++k) {
    out.nozzle.push_back({.mass_kg = places[k].mass_kg,
                          .time_s = places[k].time_s,
                          .content = over(all, [&](const auto& feeds) {
                            return feeds[feed].samples[k].content;
                          })});
  }
  out.mean_after = over(all, [&](const auto& feeds) { return feeds[feed].mean_after; });
  const MemberRace& first = all.front()[feed];
  if (first.ran_out) out.ran_out_kg = first.taken_kg;
  return out;
}

}  // namespace

double chance_of(const std::vector<double>& crossings_kg) {
  const auto crossed = std::count_if(crossings_kg.begin(), crossings_kg.end(),
                                     [](double kg) { return std::isfinite(kg); });
  return static_cast<double>(crossed) / static_cast<double>(crossings_kg.size());
}

CrossingKg places_of(const std::vector<double>& crossings_kg) {
  const Percentiles place = percentiles(crossings_kg);
  const auto finite = [](double kg) {
    return std::isfinite(kg) ? std::optional<double>(kg) : std::nullopt;
  };
  return {finite(place.p10), finite(place.p50), finite(place.p90)};
}

Surroundings around_spool(const Spool& spool, const FeedAir& feed,
                          const Member& member) {
  return surroundings(feed.air, feed.feed == Feed::kLiveDryer, spool, member);
}

double crossing_kg(PackSolver& solver, PackState state, const Surroundings& around,
                   const std::vector<DrawPoint>& curve, double limit) {
  if (around.chamber) state.y.chamber() = around.chamber->inlet_kg_m3;
  state.step_s = 0;
  const DrawResult drawn = draw(solver, state, around, curve, limit);
  return first_crossing_kg(drawn.samples, limit).value_or(kNeverKg);
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

SpoolRace run_race(const Spool& spool, const std::vector<MemberStart>& starts,
                   const std::vector<DrawPoint>& curve,
                   const std::vector<FeedAir>& feeds, unsigned threads, Tally* tally) {
  SpoolRace out;
  out.now = estimate_of(starts);
  if (curve.empty()) return out;
  expect(tally, starts.size());
  Races all(starts.size());
  for_each_index(starts.size(), threads, [&](std::size_t k) {
    PackSolver solver = solver_of(starts[k]);
    for (const FeedAir& feed : feeds) {
      all[k].push_back(race_once(solver, spool, starts[k], curve, feed));
    }
    count(tally);
  });
  for (std::size_t f = 0; f < feeds.size(); ++f) {
    out.feeds.push_back(summarise_feed(all, f, feeds[f]));
  }
  return out;
}

SpoolRace run_race(const Spool& spool, const std::vector<DrawPoint>& curve,
                   const std::vector<FeedAir>& feeds,
                   const std::vector<Member>& members, unsigned threads) {
  return run_race(spool, start_members(spool, members, threads), curve, feeds, threads);
}

std::vector<HandRace> race_hands(const Spool& spool,
                                 const std::vector<MemberStart>& starts,
                                 const std::vector<DrawPoint>& curve,
                                 const FeedAir& feed, std::span<const Hand> hands,
                                 double limit, unsigned threads) {
  std::vector<HandRace> out;
  for (const Hand& hand : hands) {
    const std::vector<DrawPoint> turned = by_hand(curve, hand);
    std::vector<double> crossings(starts.size());
    for_each_index(starts.size(), threads, [&](std::size_t k) {
      PackSolver solver = solver_of(starts[k]);
      crossings[k] =
          crossing_kg(solver, starts[k].state,
                      around_spool(spool, feed, starts[k].member), turned, limit);
    });
    out.push_back({hand, chance_of(crossings), places_of(crossings)});
  }
  return out;
}

}  // namespace drydepth
