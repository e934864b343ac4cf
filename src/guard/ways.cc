#include "guard/ways.h"

#include <algorithm>
#include <cmath>

#include "guard/forecast.h"
#include "moisture/pack_state.h"

namespace drydepth {
namespace {

Spread scaled(const std::array<std::optional<double>, 3>& steps, double unit) {
  Spread out;
  for (std::size_t k = 0; k < 3; ++k) {
    if (steps[k]) out[k] = std::max(0.0, *steps[k]) * unit;
  }
  return out;
}

Choice judged(ChoiceKind kind, Way way, const std::vector<double>& crossings,
              double target) {
  Choice out{.kind = kind, .way = std::move(way)};
  out.chance = chance_of(crossings);
  out.suffices = out.chance < target;
  out.crossing_kg = places_of(crossings);
  out.carries_kg = carries_kg(crossings, target);
  return out;
}

// Why it does not suffice, where one reason stands out: what the dryer's air leads to,
// what the spool is like at the first gram, what the feed's air leads to.
void explain(const Lineup& lineup, const std::vector<double>& crossings,
             Choice& choice) {
  if (choice.suffices) return;
  const auto leads_above = [&](const AirSpec& air, Obstacle obstacle) {
    choice.in_balance =
        content_in_balance(lineup.spool, air, members_of(lineup.starts));
    if (choice.in_balance.p50 < lineup.limit) return false;
    choice.obstacle = obstacle;
    return true;
  };
  for (const Stay& stay : choice.way.before) {
    if (leads_above(stay.air, Obstacle::kHeaterFloor)) return;
  }
  const auto at_once = std::count(crossings.begin(), crossings.end(), 0.0);
  const double share =
      static_cast<double>(at_once) / static_cast<double>(crossings.size());
  if (share >= choice.chance / 2.0) {
    choice.obstacle = Obstacle::kOuterWet;
  } else if (!leads_above(choice.way.feed.air, Obstacle::kFeedAir)) {
    choice.obstacle = Obstacle::kInnerWet;
  }
}

void find_latest_start(const Lineup& lineup, double target, Choice& choice) {
  if (!choice.suffices) return;
  const AirSpec room = lineup.spool.room;
  const Dial wait{.way =
                      [&](int k) {
                        Way way = choice.way;
                        way.before = {{room, false, k * kWaitStepS}};
                        return way;
                      },
                  .last = static_cast<int>(kLongestWaitS / kWaitStepS)};
  const Turn turn = last_that_carries(lineup, wait, target);
  if (!turn.step) return;
  choice.holds_s = *turn.step * kWaitStepS;
  choice.holds_on = *turn.step == wait.last;
  choice.holds_range_s = scaled(turn.range, kWaitStepS);
}

Choice start_now(const Lineup& lineup, const FeedAir& feed, double target) {
  const Way way{.feed = feed};
  const auto crossings = crossings_kg(lineup, way);
  Choice out = judged(ChoiceKind::kNow, way, crossings, target);
  explain(lineup, crossings, out);
  find_latest_start(lineup, target, out);
  return out;
}

// The coolest live dryer that carries, by the degree.
std::optional<Choice> least_dryer(const Lineup& lineup, const FeedAir& live,
                                  const ChoiceFrame& frame) {
  const auto* set = std::get_if<HeaterAir>(&live.air);
  if (set == nullptr) return std::nullopt;
  const double room_k = set->room ? set->room->temperature_k : kIsothermReferenceK;
  const double lowest_k = std::ceil(room_k - kZeroCelsiusK) + kZeroCelsiusK;
  const int last = static_cast<int>(std::floor(frame.ceiling_k - lowest_k + 1e-9));
  if (last < 0) return std::nullopt;
  const Dial dial{.way =
                      [&](int k) {
                        HeaterAir air = *set;
                        air.temperature_k = lowest_k + k;
                        return Way{.feed = {Feed::kLiveDryer, air}};
                      },
                  .last = last};
  const Turn turn = first_that_carries(lineup, dial, frame.target);
  const Way way = dial.way(turn.step.value_or(last));
  Choice out = judged(ChoiceKind::kLeastDryer, way, turn.crossings_kg, frame.target);
  explain(lineup, turn.crossings_kg, out);
  find_latest_start(lineup, frame.target, out);
  return out;
}

Choice dry_ahead(const Lineup& lineup, ChoiceKind kind, const HeaterAir& dryer,
                 const FeedAir& feed, double target) {
  const Dial dial{
      .way =
          [&](int k) {
            return Way{.before = {{dryer, true, k * kDryStepS}}, .feed = feed};
          },
      .last = static_cast<int>(kForecastS / kDryStepS)};
  const Turn turn = first_that_carries(lineup, dial, target);
  const Way way = dial.way(turn.step.value_or(dial.last));
  Choice out = judged(kind, way, turn.crossings_kg, target);
  out.lead_s = way.before.front().seconds;
  out.hours = scaled(turn.range, kDryStepS / kSecondsPerHour);
  explain(lineup, turn.crossings_kg, out);
  return out;
}

// Of each wound layer, outermost first: its mass, and the share of members in which it
// is above the limit now.
struct LayerShare {
  double mass_kg = 0;
  double above = 0;
};
std::vector<LayerShare> layer_shares(const Lineup& lineup) {
  std::vector<LayerShare> out;
  const double each = 1.0 / static_cast<double>(lineup.starts.size());
  for (std::size_t m = 0; m < lineup.starts.size(); ++m) {
    const PackModel& model = lineup.starts[m].model;
    const PackState& state = lineup.starts[m].state;
    out.resize(static_cast<std::size_t>(state.layers));
    for (std::size_t k = 0; k < out.size(); ++k) {
      const int layer = state.layers - 1 - static_cast<int>(k);
      out[k].mass_kg = remaining_mass_kg(model, state, layer);
      if (layer_content(model, state, layer) > lineup.limit) {
        out[k].above += each;
      }
    }
  }
  return out;
}

// Whole wound layers taken off, since in one layer the last gram is as wet as the
// first. Only where the outermost is too wet and one beneath is not.
std::optional<Choice> discard(const Lineup& lineup, const FeedAir& feed, double target,
                              const std::vector<LayerShare>& layers, double needed_kg) {
  if (layers.empty() || layers.front().above < target) return std::nullopt;
  double left_kg = 0, off_kg = 0;
  for (const LayerShare& l : layers) left_kg += l.mass_kg;
  for (std::size_t k = 0; k + 1 < layers.size(); ++k) {
    off_kg += layers[k].mass_kg;
    if (left_kg - off_kg < needed_kg) break;
    if (layers[k + 1].above >= target) continue;
    const Way way{.discard_kg = off_kg, .feed = feed};
    const auto crossings = crossings_kg(lineup, way);
    Choice out = judged(ChoiceKind::kDiscard, way, crossings, target);
    if (out.suffices) return out;
  }
  return std::nullopt;
}

// Hopeless ones last, then by the time they take, then by effort.
bool sooner(const Choice& a, const Choice& b) {
  const bool a_fails = !a.suffices && a.lead_s > 0;
  const bool b_fails = !b.suffices && b.lead_s > 0;
  if (a_fails != b_fails) return b_fails;
  if (!a_fails && a.lead_s != b.lead_s) return a.lead_s < b.lead_s;
  return a.kind < b.kind;
}

// Room air, drier than it is, in which a dryer of that temperature would get under the
// limit.
std::optional<double> room_that_would_do(const Lineup& lineup, HeaterAir dryer) {
  const StatedAir now = dryer.room.value_or(StatedAir{});
  const int percent_now = static_cast<int>(std::ceil(now.activity * 100.0)) - 1;
  for (int percent = percent_now; percent >= 1; --percent) {
    dryer.room = StatedAir{now.temperature_k, percent / 100.0};
    const Percentiles kept =
        content_in_balance(lineup.spool, dryer, members_of(lineup.starts));
    if (kept.p50 <= 0.9 * lineup.limit) return percent / 100.0;
  }
  return std::nullopt;
}

}  // namespace

Choices find_choices(const Lineup& lineup, const ChoiceFrame& frame) {
  Choices out;
  const std::vector<LayerShare> layers = layer_shares(lineup);
  for (const LayerShare& l : layers) out.left_kg += l.mass_kg;
  out.needed_kg = lineup.job.back().mass_kg;
  out.enough = out.left_kg >= out.needed_kg - 1e-9;
  for (const FeedAir& feed : frame.feeds) {
    out.list.push_back(start_now(lineup, feed, frame.target));
  }
  if (!out.enough) return out;
  for (std::size_t f = 0; f < frame.feeds.size(); ++f) {
    const FeedAir& feed = frame.feeds[f];
    const bool live = feed.feed == Feed::kLiveDryer;
    if (live) {
      if (auto least = least_dryer(lineup, feed, frame)) out.list.push_back(*least);
    }
    if (out.list[f].suffices) continue;  // nothing more is needed for this one
    if (auto off = discard(lineup, feed, frame.target, layers, out.needed_kg)) {
      out.list.push_back(*std::move(off));
    }
    const auto* heater = std::get_if<HeaterAir>(&feed.air);
    if (live && heater != nullptr) {
      out.list.push_back(
          dry_ahead(lineup, ChoiceKind::kHeadStart, *heater, feed, frame.target));
      if (*heater == frame.dryer) continue;
    }
    out.list.push_back(
        dry_ahead(lineup, ChoiceKind::kDryFirst, frame.dryer, feed, frame.target));
  }
  for (Choice& c : out.list) {
    if (c.obstacle != Obstacle::kHeaterFloor) continue;
    const HeaterAir& dryer = std::get<HeaterAir>(c.way.before.front().air);
    c.remedy_k = least_drying_k(lineup.spool, dryer, lineup.limit, frame.ceiling_k,
                                members_of(lineup.starts));
    c.remedy_activity = room_that_would_do(lineup, dryer);
  }
  std::stable_sort(out.list.begin(), out.list.end(), sooner);
  return out;
}

const Choice* first_sufficient(const Choices& choices) {
  for (const Choice& c : choices.list) {
    if (c.suffices && choices.enough) return &c;
  }
  return nullptr;
}

}  // namespace drydepth
