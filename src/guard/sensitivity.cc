#include "guard/sensitivity.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "inference/spread_shares.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

// One replay: the two numbers, and every reading foreseen.
struct Told {
  Answer answer{};
  std::vector<double> foreseen_kg{};
};

Told tell(const Spool& spool, double limit, const Member& member) {
  const Timeline& timeline = spool.timeline;
  PackSolver solver = spool_solver(spool, member);
  const Life life = replay(solver, spool, member);
  Told out;
  out.answer = {dry_depth_kg(solver.model(), life.state, limit),
                mean_content(solver.model(), life.state)};
  for (std::size_t k = 0; k < life.readings.size(); ++k) {
    const double days =
        seconds_between(timeline.readings.front().at, timeline.readings[k].at) / 86400;
    out.foreseen_kg.push_back(
        foreseen_kg(life.readings[k], spool.priors, member, days));
  }
  return out;
}

bool same(const Told& a, const Told& b) {
  return a.answer.depth_kg == b.answer.depth_kg && a.answer.mean == b.answer.mean &&
         a.foreseen_kg == b.foreseen_kg;
}

struct Middle {
  Normals mean{}, sd{};
};

Middle middle_of(const std::vector<Normals>& normals) {
  const double n = static_cast<double>(normals.size());
  Middle out;
  for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
    for (const Normals& z : normals) out.mean[u] += z[u] / n;
    for (const Normals& z : normals) out.sd[u] += std::pow(z[u] - out.mean[u], 2);
    out.sd[u] = std::sqrt(out.sd[u] / std::max(1.0, n - 1.0));
  }
  return out;
}

// Every humidity of a timeline moved; false where there is none to move.
bool move_humidity(Timeline& timeline, double by) {
  bool moved = false;
  const auto move = [&](StatedAir& air) {
    air.activity = std::clamp(air.activity + by, 0.0, 1.0);
    moved = true;
  };
  for (Span& span : timeline.spans) {
    if (span.air_end) continue;  // logged
    if (auto* stated = std::get_if<StatedAir>(&span.air)) move(*stated);
    if (auto* heater = std::get_if<HeaterAir>(&span.air); heater && heater->room) {
      move(*heater->room);
    }
  }
  return moved;
}

std::optional<std::array<Answer, 2>> other_humidity(const Spool& spool, double limit,
                                                    const Member& member) {
  std::array<Answer, 2> out{};
  for (std::size_t side = 0; side < 2; ++side) {
    Spool other = spool;
    if (!move_humidity(other.timeline, side == 0 ? -kHumiditySd : kHumiditySd)) {
      return std::nullopt;
    }
    out[side] = tell(other, limit, member).answer;
  }
  return out;
}

// The inputs as columns over the members, and the shares of each in one target.
std::optional<SpreadShares> shares(const std::vector<InputEffect>& inputs,
                                   const std::vector<Normals>& normals,
                                   const std::vector<double>& target) {
  std::vector<std::vector<double>> columns;
  for (const InputEffect& input : inputs) {
    columns.emplace_back();
    for (const Normals& z : normals) columns.back().push_back(z[input.unknown]);
  }
  return spread_shares(columns, target);
}

void settle_shares(const std::vector<Normals>& normals, const std::vector<Told>& told,
                   Sensitivity& out) {
  std::vector<double> depth, mean;
  for (const Told& t : told) {
    depth.push_back(t.answer.depth_kg);
    mean.push_back(t.answer.mean);
  }
  const auto of_depth = shares(out.inputs, normals, depth);
  const auto of_mean = shares(out.inputs, normals, mean);
  for (std::size_t i = 0; i < out.inputs.size(); ++i) {
    InputEffect& input = out.inputs[i];
    if (of_depth) {
      input.depth_share = of_depth->share[i];
      input.depth_narrows = of_depth->known_narrows[i];
      out.share_sd = std::max(out.share_sd, of_depth->share_sd[i]);
    }
    if (of_mean) {
      input.mean_share = of_mean->share[i];
      input.mean_narrows = of_mean->known_narrows[i];
      out.share_sd = std::max(out.share_sd, of_mean->share_sd[i]);
    }
  }
  out.depth_varies = of_depth.has_value();
  out.mean_varies = of_mean.has_value();
  if (of_depth) out.depth_unexplained = of_depth->unexplained;
  if (of_mean) out.mean_unexplained = of_mean->unexplained;
  std::stable_sort(out.inputs.begin(), out.inputs.end(),
                   [&](const InputEffect& a, const InputEffect& b) {
                     return out.depth_varies ? a.depth_share > b.depth_share
                                             : a.mean_share > b.mean_share;
                   });
}

}  // namespace

Sensitivity find_sensitivity(const Spool& spool, double limit,
                             const std::vector<Member>& members, unsigned threads) {
  const Priors& priors = spool.priors.spread;
  std::vector<Normals> normals;
  for (const Member& m : members) normals.push_back(to_normals(priors, m));
  const Middle middle = middle_of(normals);
  const Member central = to_member(priors, middle.mean);

  // The members, then the middle, then every unknown at -1 and +1 sd.
  std::vector<Member> runs = members;
  runs.push_back(central);
  for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
    for (const double side : {-1.0, 1.0}) {
      Normals z = middle.mean;
      z[u] += side * middle.sd[u];
      runs.push_back(to_member(priors, z));
    }
  }
  std::vector<Told> told(runs.size());
  for_each_index(runs.size(), threads,
                 [&](std::size_t k) { told[k] = tell(spool, limit, runs[k]); });

  const std::size_t centre = members.size();
  Sensitivity out{.members = members.size(), .middle = told[centre].answer};
  for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
    const std::size_t low = centre + 1 + 2 * u;
    if (same(told[low], told[centre]) && same(told[low + 1], told[centre])) continue;
    out.inputs.push_back({.unknown = u,
                          .moved = {runs[low], runs[low + 1]},
                          .answer = {told[low].answer, told[low + 1].answer}});
  }
  told.resize(members.size());
  settle_shares(normals, told, out);
  out.humidity = other_humidity(spool, limit, central);
  return out;
}

}  // namespace drydepth
