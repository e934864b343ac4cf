#include "report/plan/plan_json.h"

#include <cmath>

#include "base/json_value.h"
#include "report/json.h"

namespace drydepth {
namespace {

double grams(double kg) { return rounded(kg * 1000.0, 1e-3); }

const char* kind_word(ChoiceKind kind) {
  switch (kind) {
    case ChoiceKind::kNow:
      return "now";
    case ChoiceKind::kLeastDryer:
      return "least-dryer";
    case ChoiceKind::kDiscard:
      return "discard";
    case ChoiceKind::kHeadStart:
      return "head-start";
    case ChoiceKind::kDryFirst:
      return "dry-first";
  }
  return "";
}

Json obstacle_json(const Choice& c) {
  switch (c.obstacle) {
    case Obstacle::kNone:
      return nullptr;
    case Obstacle::kOuterWet:
      return "outer-wraps-above";
    case Obstacle::kHeaterFloor:
      return "room-too-humid";
    case Obstacle::kFeedAir:
      return "feed-air-too-humid";
    case Obstacle::kInnerWet:
      return "inner-wraps-above";
  }
  return nullptr;
}

template <class Values, class Form>
Json spread_json(const PlanReport& report, const Values& v, Form form) {
  const auto one = [&](const std::optional<double>& x) {
    return x ? Json(form(*x)) : Json();
  };
  if (report.head.nominal) return one(v[1]);
  return {{"p10", one(v[0])}, {"p50", one(v[1])}, {"p90", one(v[2])}};
}

Json place_json(const PlanReport& report, const SpoolPlan& plan, double kg) {
  const double mm = kg / kg_per_mm(plan.spool);
  const QueuePlace at = queue_place(report.queue, plan.spool.tool, mm);
  return {{"g", grams(kg)},        {"m", rounded(mm / 1000.0, 1e-3)},
          {"job", at.job},         {"layer", at.place.layer + 1},
          {"line", at.place.line}, {"time_s", rounded(at.place.time_s, 0.1)}};
}

Json choice_json(const PlanReport& report, const SpoolPlan& plan, const Choice& c) {
  const auto moment = [&](double s) {
    return Json(format_instant(report.head.at + Seconds(std::llround(s))));
  };
  const bool waits = !c.way.before.empty();
  Json out{{"kind", kind_word(c.kind)},
           {"feed", std::string(feed_name(c.way.feed.feed))},
           {"air", air_json(c.way.feed.air)},
           {"suffices", c.suffices},
           {"chance", rounded(c.chance, 1e-4)}};
  out["crossing"] = spread_json(
      report, c.crossing_kg, [&](double kg) { return place_json(report, plan, kg); });
  out["carries_to"] =
      c.carries_kg == kNeverKg ? Json() : place_json(report, plan, c.carries_kg);
  if (waits) {
    out["dry_in"] = air_json(c.way.before.front().air);
    out["hours"] = c.suffices ? Json(rounded(c.lead_s / kSecondsPerHour, 0.1)) : Json();
    out["hours_range"] =
        spread_json(report, c.hours, [](double h) { return rounded(h, 0.1); });
  }
  out["start"] = waits && !c.suffices ? Json() : moment(c.lead_s);
  if (c.kind == ChoiceKind::kDiscard) {
    out["discard"] = {
        {"g", grams(c.way.discard_kg)},
        {"m", rounded(c.way.discard_kg / kg_per_mm(plan.spool) / 1000.0, 1e-3)}};
  }
  if (c.holds_s) {
    out["latest_start"] = c.holds_on ? Json() : moment(*c.holds_s);
    out["latest_start_range"] = spread_json(report, c.holds_range_s, moment);
  }
  out["obstacle"] = obstacle_json(c);
  if (c.obstacle == Obstacle::kHeaterFloor) {
    out["least_drying_c"] =
        c.remedy_k ? Json(rounded(*c.remedy_k - kZeroCelsiusK, 0.1)) : Json();
    out["room_rh_percent"] =
        c.remedy_activity ? Json(rounded(*c.remedy_activity * 100.0, 0.1)) : Json();
  }
  return out;
}

Json plan_of_spool(const PlanReport& report, const SpoolPlan& plan) {
  const Choices& found = plan.choices;
  Json choices = Json::array(), others = Json::array();
  for (const Choice& c : found.list) choices.push_back(choice_json(report, plan, c));
  for (const OtherSpool& o : plan.others) {
    Json chances = Json::object();
    for (std::size_t f = 0; f < o.chances.size(); ++f) {
      chances[std::string(feed_name(plan.frame.feeds[f].feed))] =
          rounded(o.chances[f], 1e-4);
    }
    others.push_back({{"id", o.id},
                      {"left_g", grams(o.left_kg)},
                      {"told", o.told},
                      {"chance", chances}});
  }
  const auto celsius = [](double k) { return rounded(k - kZeroCelsiusK, 0.1); };
  return {{"tool", plan.spool.tool},
          {"id", plan.spool.of.record.id},
          {"material", plan.spool.of.material.id},
          {"limit_percent",
           rounded(plan.spool.of.limits[report.head.decides] * 100.0, 1e-4)},
          {"told", plan.spool.told},
          {"needed_g", grams(found.needed_kg)},
          {"left_g", grams(found.left_kg)},
          {"enough", found.enough},
          {"feed", std::string(feed_name(plan.in_use))},
          {"ceiling_c", celsius(plan.frame.ceiling_k)},
          {"choices", choices},
          {"other_spools", others}};
}

}  // namespace

Json plan_json(const PlanReport& report) {
  const Report& head = report.head;
  Json jobs = Json::array(), spools = Json::array();
  for (const QueuedJob& job : report.queue) {
    jobs.push_back(
        {{"file", job.name},
         {"start", format_instant(head.at + Seconds(std::llround(job.start_s)))},
         {"duration_s", rounded(job.trace.duration_s, 0.1)},
         {"layers", job.trace.layers.size()}});
  }
  for (const SpoolPlan& plan : report.plans) {
    spools.push_back(plan_of_spool(report, plan));
  }
  return {{"format", "drydepth-plan/1"},
          {"version", head.version},
          {"at", format_instant(head.at)},
          {"members", head.members},
          {"nominal", head.nominal},
          {"limit", std::string(limit_name(head.decides))},
          {"target_chance", report.target},
          {"jobs", jobs},
          {"unwatched", head.unwatched},
          {"spools", spools},
          {"cautions", head.cautions}};
}

}  // namespace drydepth
