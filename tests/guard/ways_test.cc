// What the planner found is checked by races of its own: the record is given the hours,
// the wait or the discard as events, and run_race says how large the share is.

#include "guard/ways.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "guard/forecast.h"

using namespace drydepth;

namespace {

constexpr double kTarget = 0.1;

const HeaterAir kLive{348.15, StatedAir{296.15, 0.45}, {}, {}};

Spool with_span(Spool dried, SpanKind kind, const AirSpec& air, double seconds,
                double used_kg = 0) {
  Span span;
  span.from = dried.timeline.to;
  span.to = span.from + Seconds(static_cast<long long>(seconds));
  span.kind = kind;
  span.air = air;
  span.used_kg = used_kg;
  dried.timeline.spans.push_back(span);
  dried.timeline.to = span.to;
  return dried;
}

// The tests' spool hours out of the dryer: cold, and wet outside again.
Spool rested_contest(double hours) {
  const Spool dried = dried_spool();
  return with_span(dried, SpanKind::kStorage, dried.room, hours * kSecondsPerHour);
}

// The same after a second day at 75 C, still hot.
Spool well_dried_spool() {
  return with_span(dried_spool(), SpanKind::kDrying, kLive, 24 * kSecondsPerHour);
}

ChoiceFrame frame() {
  return {.feeds = {{Feed::kOpen, StatedAir{296.15, 0.45}},
                    {Feed::kDryBox, StatedAir{298.15, 0.15}},
                    {Feed::kLiveDryer, kLive}},
          .dryer = kLive,
          .ceiling_k = 358.15,
          .target = kTarget};
}

struct Case {
  Spool dried;
  std::vector<DrawPoint> job;
  std::vector<Member> members;
  Choices found;
};

Case solve(const Spool& dried, double job_kg, const ChoiceFrame& f,
           unsigned threads = 0) {
  Case out{dried, steady(job_kg), draw_members(dried.priors.spread, 40, 1), {}};
  out.found = find_choices({dried, out.job, dried.limits.cosmetic,
                            start_members(dried, out.members, threads), threads},
                           f);
  return out;
}

double share(const Case& c, const Spool& dried, const FeedAir& feed) {
  return run_race(dried, c.job, {feed}, c.members, 0)
      .feeds[0]
      .limits.cosmetic.share_above;
}

const Choice* find(const Choices& choices, ChoiceKind kind, Feed feed) {
  for (const Choice& c : choices.list) {
    if (c.kind == kind && c.way.feed.feed == feed) return &c;
  }
  return nullptr;
}

}  // namespace

TEST_CASE("each way's chance is the share of a race that knows nothing of ways") {
  const Case c = solve(rested_contest(12), 0.18, frame());
  for (const FeedAir& feed : frame().feeds) {
    INFO(feed_name(feed.feed));
    const Choice* now = find(c.found, ChoiceKind::kNow, feed.feed);
    REQUIRE(now);
    const SpoolRace race = run_race(c.dried, c.job, {feed}, c.members, 0);
    CHECK(now->chance == race.feeds[0].limits.cosmetic.share_above);
    CHECK(now->crossing_kg == race.feeds[0].limits.cosmetic.crossing_kg);
  }
}

TEST_CASE("hours of drying suffice, and half an hour less does not") {
  const Case c = solve(rested_contest(12), 0.18, frame());
  const struct {
    ChoiceKind kind;
    Feed feed;
  } rows[] = {{ChoiceKind::kHeadStart, Feed::kLiveDryer},
              {ChoiceKind::kDryFirst, Feed::kDryBox}};
  for (const auto& row : rows) {
    INFO(feed_name(row.feed));
    const Choice* choice = find(c.found, row.kind, row.feed);
    REQUIRE(choice);
    REQUIRE(choice->suffices);
    REQUIRE(choice->lead_s > 0);
    const auto after = [&](double seconds) {
      return share(c, with_span(c.dried, SpanKind::kDrying, kLive, seconds),
                   choice->way.feed);
    };
    CHECK(after(choice->lead_s) < kTarget);
    CHECK(after(choice->lead_s - kDryStepS) >= kTarget);
    CHECK(choice->hours[1].value_or(1e9) <= choice->lead_s / kSecondsPerHour);
  }
}

TEST_CASE("a spool may wait as long as was found, and a quarter of an hour more not") {
  const Case c = solve(well_dried_spool(), 0.18, frame());
  const Choice* now = find(c.found, ChoiceKind::kNow, Feed::kLiveDryer);
  REQUIRE(now);
  REQUIRE(now->holds_s);
  CHECK_FALSE(now->holds_on);
  const auto after = [&](double seconds) {
    return share(c, with_span(c.dried, SpanKind::kStorage, c.dried.room, seconds),
                 now->way.feed);
  };
  CHECK(after(*now->holds_s) < kTarget);
  CHECK(after(*now->holds_s + kWaitStepS) >= kTarget);
  CHECK(now->holds_range_s[0].value_or(0) <= now->holds_range_s[1].value_or(1e9));
}

TEST_CASE(
    "the least live dryer suffices, a degree less does not, none is above what "
    "filament and body stand") {
  const Case c = solve(well_dried_spool(), 0.18, frame());
  const Choice* least = find(c.found, ChoiceKind::kLeastDryer, Feed::kLiveDryer);
  REQUIRE(least);
  REQUIRE(least->suffices);
  FeedAir feed = least->way.feed;
  auto& air = std::get<HeaterAir>(feed.air);
  CHECK(air.temperature_k <= frame().ceiling_k);
  CHECK(share(c, c.dried, feed) < kTarget);
  air.temperature_k -= 1.0;
  CHECK(share(c, c.dried, feed) >= kTarget);

  ChoiceFrame cool = frame();
  cool.ceiling_k = air.temperature_k;  // a degree under what suffices
  const Case none = solve(well_dried_spool(), 0.18, cool);
  const Choice* most = find(none.found, ChoiceKind::kLeastDryer, Feed::kLiveDryer);
  REQUIRE(most);
  CHECK_FALSE(most->suffices);
  CHECK(std::get<HeaterAir>(most->way.feed.air).temperature_k ==
        Approx(cool.ceiling_k));
}

TEST_CASE(
    "wraps that are wet outside only are thrown away, no layer more than needed") {
  // Drawn and stored dry, then eight hours in damp air.
  Spool dried = dried_spool();
  dried.timeline.spans.clear();
  dried.timeline.to = dried.timeline.from;
  dried.priors.opening_content = 0.001;
  dried.priors.spread.opening_content = 0;
  dried = with_span(dried, SpanKind::kStorage, StatedAir{296.15, 0.75}, 8 * 3600.0);
  const Case c = solve(dried, 0.03, frame());
  const Choice* off = find(c.found, ChoiceKind::kDiscard, Feed::kDryBox);
  REQUIRE(off);
  REQUIRE(off->suffices);
  const auto without = [&](double kg) {
    return share(c, with_span(dried, SpanKind::kPrint, dried.room, 1, kg),
                 off->way.feed);
  };
  CHECK(without(off->way.discard_kg) < kTarget);
  const double layer_kg = c.found.left_kg / 30.0;  // the outer ones are larger
  CHECK(without(off->way.discard_kg - layer_kg) >= kTarget);
  CHECK(off->lead_s == 0);
}

TEST_CASE("a room too humid for the dryer is said, with what would change it") {
  ChoiceFrame humid = frame();
  humid.dryer = HeaterAir{318.15, StatedAir{299.15, 0.80}, {}, {}};  // 45 C, 26 C/80 %
  const Case c = solve(rested_contest(12), 0.18, humid);
  const Choice* box = find(c.found, ChoiceKind::kDryFirst, Feed::kDryBox);
  REQUIRE(box);
  CHECK_FALSE(box->suffices);
  CHECK(box->obstacle == Obstacle::kHeaterFloor);
  CHECK(box->in_balance.p50 > c.dried.limits.cosmetic);
  CHECK(box->chance ==
        share(c, with_span(c.dried, SpanKind::kDrying, humid.dryer, kForecastS),
              box->way.feed));
  REQUIRE(box->remedy_k);
  CHECK(*box->remedy_k > 318.15);
  CHECK(*box->remedy_k <= humid.ceiling_k);
  REQUIRE(box->remedy_activity);
  CHECK(*box->remedy_activity < 0.80);
  // At the remedies, and not just short of them, the heater's floor gets under.
  const auto floor = [&](double kelvin, double activity) {
    const HeaterAir air{kelvin, StatedAir{299.15, activity}, {}, {}};
    return content_in_balance(c.dried, air, c.members).p50;
  };
  const double bound = 0.9 * c.dried.limits.cosmetic;
  CHECK(floor(*box->remedy_k, 0.80) <= bound);
  CHECK(floor(*box->remedy_k - 1, 0.80) > bound);
  CHECK(floor(318.15, *box->remedy_activity) <= bound);
  CHECK(floor(318.15, *box->remedy_activity + 0.01) > bound);

  humid.ceiling_k = 320.15;
  const Case low = solve(rested_contest(12), 0.18, humid);
  box = find(low.found, ChoiceKind::kDryFirst, Feed::kDryBox);
  REQUIRE(box);
  CHECK_FALSE(box->remedy_k);
}

TEST_CASE("open air wets a long job whatever was done before") {
  const Case c = solve(rested_contest(12), 0.30, frame());
  const Choice* open = find(c.found, ChoiceKind::kDryFirst, Feed::kOpen);
  REQUIRE(open);
  CHECK_FALSE(open->suffices);
  CHECK(open->obstacle == Obstacle::kFeedAir);
  CHECK(open == &c.found.list.back());  // what cannot be stands last
}

TEST_CASE("too little filament ends the search") {
  const Case c = solve(rested_contest(12), 1.2, frame());
  CHECK_FALSE(c.found.enough);
  CHECK(c.found.list.size() == 3);
  CHECK(c.found.left_kg == Approx(0.978).epsilon(1e-9));
  CHECK(first_sufficient(c.found) == nullptr);
}

TEST_CASE("choices come by hours, then by effort, the same on any number of threads") {
  const Case one = solve(rested_contest(12), 0.18, frame(), 1);
  const auto& list = one.found.list;
  for (std::size_t k = 1; k < list.size(); ++k) {
    INFO(k);
    if (list[k].lead_s > 0 && !list[k].suffices) continue;
    CHECK(list[k - 1].lead_s <= list[k].lead_s);
    if (list[k - 1].lead_s == list[k].lead_s) CHECK(list[k - 1].kind <= list[k].kind);
  }
  for (const unsigned threads : {2U, 5U}) {
    const Case more = solve(rested_contest(12), 0.18, frame(), threads);
    REQUIRE(more.found.list.size() == list.size());
    for (std::size_t k = 0; k < list.size(); ++k) {
      const Choice& a = list[k];
      const Choice& b = more.found.list[k];
      INFO(k);
      CHECK(a.kind == b.kind);
      CHECK(a.way.feed.feed == b.way.feed.feed);
      CHECK(a.chance == b.chance);
      CHECK(a.lead_s == b.lead_s);
      CHECK(a.hours == b.hours);
      CHECK(a.crossing_kg == b.crossing_kg);
      CHECK(a.holds_range_s == b.holds_range_s);
    }
  }
}

TEST_CASE("what suffices is a share strictly below the target") {
  const struct {
    std::size_t count;
    double target;
    std::size_t may;
  } rows[] = {{1, 0.1, 0},  {10, 0.1, 0},  {11, 0.1, 1},
              {64, 0.1, 6}, {64, 0.9, 57}, {20, 0.1, 1}};
  for (const auto& row : rows) {
    INFO(row.count << " members, " << row.target);
    CHECK(allowed(row.count, row.target) == row.may);
  }
  // Of eleven members one may cross; the second to do so ends it.
  std::vector<double> crossings(11, kNeverKg);
  crossings[3] = 0.010;
  CHECK(carries_kg(crossings, 0.1) == kNeverKg);
  crossings[7] = 0.025;
  CHECK(carries_kg(crossings, 0.1) == 0.025);
  CHECK(chance_of(crossings) == Approx(2.0 / 11.0));
}

TEST_CASE("a spool that was wound over meets the job in its new winding") {
  Spool dried = rested_contest(6);
  Respool respool{.at = dried.timeline.to};
  respool.body.kind = "pc";
  respool.hub_diameter_m = 0.110;
  dried.record.events.push_back(respool);
  Span span;
  span.from = span.to = respool.at;
  span.air = dried.room;
  span.event = dried.record.events.size() - 1;
  span.respool = true;
  dried.timeline.spans.push_back(span);
  dried.priors.later_bodies = {{.tare_kg = 0.19, .tare_sd_kg = 0.003}};
  const std::vector<DrawPoint> job = steady(0.4);
  const std::vector<Member> members = draw_members(dried.priors.spread, 20, 1);
  const double limit = 0.02;  // the wet inside, outside now, is above it
  dried.limits.cosmetic = limit;
  const Lineup lineup{dried, job, limit, start_members(dried, members, 0), 0};
  for (const FeedAir& feed : three_feeds()) {
    const auto crossings = crossings_kg(lineup, {.feed = feed});
    const SpoolRace race = run_race(dried, job, {feed}, members, 0);
    CHECK(chance_of(crossings) == Approx(race.feeds[0].limits.cosmetic.share_above));
    CHECK(chance_of(crossings) > 0);
  }
}
