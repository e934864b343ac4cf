#include "guard/start.h"

#include <algorithm>

#include "base/parallel.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// Hours after which the depth is looked at again: dense first, since a depth falls fast
// and then slowly.
constexpr double kLaterHours[] = {0.5, 1,  2,  3,  4,  6,   8,   12,  16,
                                  24,  36, 48, 72, 96, 144, 192, 240, 336};

ByLimit<double> depths(const PackModel& model, const PackState& state,
                       const ByLimit<double>& limits) {
  return {dry_depth_kg(model, state, limits.cosmetic),
          dry_depth_kg(model, state, limits.strength)};
}

MemberLook look(const PackModel& model, const PackState& state,
                const ByLimit<double>& limits) {
  MemberLook out;
  out.mean = mean_content(model, state);
  out.depth_kg = depths(model, state, limits);
  for (int i = state.layers - 1; i >= 0; --i) {
    out.mass_kg.push_back(remaining_mass_kg(model, state, i));
    out.content.push_back(layer_content(model, state, i));
    out.surface.push_back(surface_content(model, state, i));
    out.core.push_back(state.y.content(0)[i]);
    out.temperature_k.push_back(state.y.temperature()[i]);
  }
  return out;
}

std::vector<LaterDepth> look_ahead(PackSolver& solver, PackState state,
                                   const Surroundings& room,
                                   const ByLimit<double>& limits) {
  std::vector<LaterDepth> out;
  double passed_s = 0;
  const auto note = [&] {
    out.push_back({passed_s, depths(solver.model(), state, limits)});
  };
  note();
  for (const double hours : kLaterHours) {
    // Once nothing is left of either depth the rest is known.
    if (out.back().depth_kg.cosmetic > 0 || out.back().depth_kg.strength > 0) {
      solver.advance(state, room, hours * kSecondsPerHour - passed_s);
    }
    passed_s = hours * kSecondsPerHour;
    note();
  }
  return out;
}

// Percentiles over the members of one number each.
template <class Number>
Percentiles over(const std::vector<MemberStart>& starts, Number number) {
  std::vector<double> sample;
  sample.reserve(starts.size());
  for (const MemberStart& m : starts) sample.push_back(number(m));
  return percentiles(sample);
}

MemberStart start_member(const Spool& spool, const Member& member) {
  PackSolver solver = spool_solver(spool, member);
  MemberStart out{.member = member};
  out.state = replay(solver, spool, member).state;
  out.state.step_s = 0;
  out.model = solver.model();
  out.look = look(out.model, out.state, spool.limits);
  out.later = look_ahead(solver, out.state,
                         surroundings(spool.room, false, spool, member), spool.limits);
  return out;
}

}  // namespace

std::vector<MemberStart> start_members(const Spool& spool,
                                       const std::vector<Member>& members,
                                       unsigned threads) {
  std::vector<MemberStart> out(members.size());
  for_each_index(members.size(), threads,
                 [&](std::size_t k) { out[k] = start_member(spool, members[k]); });
  return out;
}

std::vector<Member> members_of(const std::vector<MemberStart>& starts) {
  std::vector<Member> out;
  out.reserve(starts.size());
  for (const MemberStart& m : starts) out.push_back(m.member);
  return out;
}

PackSolver solver_of(const MemberStart& start) {
  return {start.model.polymer, start.model.winding, start.model.properties};
}

SpoolEstimate estimate_of(const std::vector<MemberStart>& starts) {
  SpoolEstimate out;
  out.mean = over(starts, [](const MemberStart& m) { return m.look.mean; });
  for (const Limit limit : kLimits) {
    out.depth_kg[limit] =
        over(starts, [&](const MemberStart& m) { return m.look.depth_kg[limit]; });
  }
  // Every member has the same layers: the winding and what was used are not varied.
  const std::vector<double>& masses = starts.front().look.mass_kg;
  for (std::size_t k = 0; k < masses.size(); ++k) {
    const auto layer = [&](std::vector<double> MemberLook::*field) {
      return over(starts, [&](const MemberStart& m) { return (m.look.*field)[k]; });
    };
    out.remaining_kg += masses[k];
    out.layers.push_back({.mass_kg = masses[k],
                          .content = layer(&MemberLook::content),
                          .surface = layer(&MemberLook::surface),
                          .core = layer(&MemberLook::core),
                          .temperature_k = layer(&MemberLook::temperature_k)});
  }
  for (std::size_t k = 0; k < starts.front().later.size(); ++k) {
    LaterDepth later{.after_s = starts.front().later[k].after_s};
    for (const Limit limit : kLimits) {
      later.depth_kg[limit] = over(starts, [&](const MemberStart& m) {
                                return m.later[k].depth_kg[limit];
                              }).p50;
    }
    out.later.push_back(later);
  }
  return out;
}

bool can_tell(const Spool& spool, const SpoolEstimate& estimate) {
  const OpenedRecord& opened = spool.record.opened;
  if (opened.moisture || !opened.layers.empty()) return true;
  const double guess = 2.0 * normal_quantile(0.9) * spool.priors.spread.opening_content;
  return estimate.mean.p90 - estimate.mean.p10 <= 0.5 * guess;
}

std::optional<double> valid_for_s(const SpoolEstimate& estimate, Limit limit,
                                  double needed_kg) {
  if (estimate.later.empty()) return std::nullopt;
  const double now = estimate.later.front().depth_kg[limit];
  if (now <= 0) return std::nullopt;
  double floor = 0.8 * now;
  if (needed_kg > 0 && now >= needed_kg) floor = std::max(floor, needed_kg);
  for (std::size_t k = 1; k < estimate.later.size(); ++k) {
    const LaterDepth& a = estimate.later[k - 1];
    const LaterDepth& b = estimate.later[k];
    const double before_kg = a.depth_kg[limit], after_kg = b.depth_kg[limit];
    if (after_kg >= floor) continue;
    return a.after_s +
           (b.after_s - a.after_s) * (before_kg - floor) / (before_kg - after_kg);
  }
  return std::nullopt;
}

}  // namespace drydepth
