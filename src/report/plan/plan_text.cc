#include "report/plan/plan_text.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"
#include "report/layout.h"
#include "report/words.h"

namespace drydepth {
namespace {

std::string degrees(double kelvin) {
  return format_fixed(kelvin - kZeroCelsiusK, 0) + " C";
}

std::string hours_number(double hours) {
  return format_fixed(hours, hours == std::floor(hours) ? 0 : 1);
}

std::string longest_text() { return hours_number(kForecastS / kSecondsPerHour) + " h"; }

const HeaterAir* heater_of(const AirSpec& air) { return std::get_if<HeaterAir>(&air); }

std::string feed_text(const FeedAir& feed) {
  const HeaterAir* heater = heater_of(feed.air);
  return std::string(feed_name(feed.feed)) +
         (heater ? " " + degrees(heater->temperature_k) : "");
}

std::string option_text(const SpoolPlan& plan, const Choice& c) {
  const std::string feed = feed_text(c.way.feed);
  switch (c.kind) {
    case ChoiceKind::kNow:
      return "now, " + feed;
    case ChoiceKind::kLeastDryer:
      return "now, " + feed + (c.suffices ? ", the least" : ", the most");
    case ChoiceKind::kDiscard:
      return "discard " + metres_text(c.way.discard_kg / kg_per_mm(plan.spool)) + ", " +
             feed;
    case ChoiceKind::kHeadStart:
      return feed + ", run before";
    case ChoiceKind::kDryFirst:
      return "dry " + degrees(plan.frame.dryer.temperature_k) + ", then " + feed;
  }
  return feed;
}

// "10 h (p50 4.5)": what suffices, and what half of the members ask for.
std::string hours_text(const PlanReport& report, const Choice& c) {
  if (c.way.before.empty()) return "";
  if (!c.suffices) return "over " + longest_text();
  std::string out = hours_number(c.lead_s / kSecondsPerHour) + " h";
  if (report.head.nominal || !c.hours[1]) return out;
  return out + " (p50 " + hours_number(std::round(*c.hours[1] * 2.0) / 2.0) + ")";
}

std::string place_text(const PlanReport& report, const SpoolPlan& plan,
                       const Choice& c) {
  const auto at = carries_to(report, plan, c);
  if (!at) return "the end";
  const std::string layer = "L" + std::to_string(at->place.layer + 1);
  if (report.queue.size() > 1) return std::to_string(at->job + 1) + " " + layer;
  return format_fixed(c.carries_kg * 1000.0, 0) + " g " + layer;
}

void option_table(std::string& out, const PlanReport& report, const SpoolPlan& plan,
                  const LocalZone& zone) {
  std::vector<Row> rows{{"Option", "drying", "start", "chance", "carries to"}};
  for (const Choice& c : plan.choices.list) {
    const bool waits = !c.way.before.empty();
    rows.push_back(
        {(c.suffices ? "+ " : "  ") + option_text(plan, c), hours_text(report, c),
         waits && !c.suffices ? "-"
                              : clock_text(report.head.at, start_of(report, c), zone),
         share_text(c.chance), place_text(report, plan, c)});
  }
  out += "\n";
  table(out, rows, 1);
}

std::string range_text(const PlanReport& report, const Choice& c,
                       const LocalZone& zone) {
  const auto one = [&](const std::optional<double>& s) {
    return s ? clock_text(report.head.at, report.head.at + Seconds(std::llround(*s)),
                          zone)
             : std::string("later");
  };
  return " (p10-p90 " + one(c.holds_range_s[0]) + " to " + one(c.holds_range_s[2]) +
         ")";
}

std::vector<std::string> latest_starts(const PlanReport& report, const SpoolPlan& plan,
                                       const LocalZone& zone) {
  std::vector<std::string> out;
  for (const Choice& c : plan.choices.list) {
    if (!c.holds_s) continue;
    const Instant until = report.head.at + Seconds(std::llround(*c.holds_s));
    std::string text = feed_text(c.way.feed) + ": latest start ";
    if (c.holds_on) {
      text += "not within " + format_fixed(kLongestWaitS / 86400.0, 0) + " days";
    } else {
      text += moment_text(until, zone);
      if (!report.head.nominal) text += range_text(report, c, zone);
    }
    out.push_back(text + ", while it waits in room air");
  }
  return out;
}

std::string floor_remedy(const SpoolPlan& plan, const Choice& c) {
  std::string out;
  if (c.remedy_k) {
    out = "drying at " + degrees(*c.remedy_k) + " or more would get under it";
  } else {
    out = "no temperature up to " + degrees(plan.frame.ceiling_k) +
          ", what filament and body stand, gets under it in this room";
  }
  if (c.remedy_activity) {
    out += "; so would room air of " + format_fixed(*c.remedy_activity * 100.0, 0) +
           " % or less";
  }
  return out;
}

// Why ways do not do, and what would change that. Ways that fail alike share a
// sentence.
std::string reason_text(const PlanReport& report, const SpoolPlan& plan,
                        const Choice& c) {
  const std::string limit = percent_text(plan.spool.of.limits[report.head.decides]);
  const std::string kept = percent_text(c.in_balance.p50);
  switch (c.obstacle) {
    case Obstacle::kNone:
      return "";
    case Obstacle::kOuterWet:
      return "the outermost wraps may be above " + limit +
             " already; that wants drying first, or other wraps";
    case Obstacle::kHeaterFloor:
      return "the room's water keeps " + kept +
             " in the filament there, however long it dries, above " + limit + "; " +
             floor_remedy(plan, c);
    case Obstacle::kFeedAir:
      return "the air at the spool (" + air_text(c.way.feed.air) + ") leads to " +
             kept + " in the end, above " + limit +
             "; drier air, a live dryer or a job of fewer hours would change it";
    case Obstacle::kInnerWet:
      return "wraps further in are above " + limit + " when the job comes to them" +
             (c.way.before.empty() ? "; drying first would change it"
                                   : ", even after " + longest_text());
  }
  return "";
}

std::vector<std::string> obstacles(const PlanReport& report, const SpoolPlan& plan) {
  std::vector<std::pair<std::string, std::string>> found;  // reason, ways
  for (const Choice& c : plan.choices.list) {
    if (c.suffices) continue;
    const std::string reason = reason_text(report, plan, c);
    const auto same = std::find_if(found.begin(), found.end(),
                                   [&](const auto& f) { return f.first == reason; });
    if (same == found.end()) {
      found.emplace_back(reason, option_text(plan, c));
    } else {
      same->second += "; " + option_text(plan, c);
    }
  }
  std::vector<std::string> out;
  for (const auto& [reason, ways] : found) out.push_back(ways + ": " + reason);
  return out;
}

// A spool of the shelf that carries at once, and from what.
std::string other_text(const PlanReport& report, const SpoolPlan& plan) {
  for (const OtherSpool& o : plan.others) {
    for (std::size_t f = 0; o.told && f < o.chances.size(); ++f) {
      if (o.chances[f] >= report.target) continue;
      return o.id + " from " + feed_text(plan.frame.feeds[f]) + ": chance " +
             share_text(o.chances[f]);
    }
  }
  return "";
}

std::vector<std::string> first_text(const PlanReport& report, const SpoolPlan& plan,
                                    const LocalZone& zone) {
  const Choices& choices = plan.choices;
  std::vector<std::string> out;
  if (!plan.spool.told) {
    out.push_back(
        "nobody can tell: the chances above are those of a guess; log a weighing, a "
        "drying or a storage before relying on them");
  }
  const Choice* first = first_sufficient(choices);
  if (first != nullptr) {
    std::string text = option_text(plan, *first);
    if (first->kind == ChoiceKind::kDiscard) {
      text += " (" + grams_text(first->way.discard_kg) + ")";
    }
    if (!first->way.before.empty()) {
      text += " for " + hours_number(first->lead_s / kSecondsPerHour) + " h, start " +
              moment_text(start_of(report, *first), zone);
    }
    out.push_back(text + ": chance " + share_text(first->chance));
  } else if (!choices.enough) {
    out.push_back("the spool holds " + grams_text(choices.left_kg) + " of " +
                  grams_text(choices.needed_kg) +
                  ": no drying makes that enough, only another spool, a second one, or "
                  "less to print");
  } else {
    out.push_back(
        "none of these suffices: another spool, a shorter job, drier air, or another "
        "bound (--limit, --chance)");
  }
  const std::string other = other_text(report, plan);
  if (!other.empty() && (first == nullptr || first->lead_s > 0)) {
    out.push_back("or now with " + other);
  }
  return out;
}

// The way now that carries furthest, where none carries to the end: as advice only,
// since what to print first is for the person to say.
std::vector<std::string> split_text(const PlanReport& report, const SpoolPlan& plan,
                                    const LocalZone& zone) {
  const Choice* best = nullptr;
  for (const Choice& c : plan.choices.list) {
    if (!c.way.before.empty() || c.kind == ChoiceKind::kDiscard) continue;
    if (!best || c.carries_kg > best->carries_kg) best = &c;
  }
  if (best == nullptr) return {};
  const auto at = carries_to(report, plan, *best);
  if (!at || best->carries_kg <= 0) return {};
  const QueuedJob& job = report.queue[at->job];
  const Instant when =
      report.head.at + Seconds(std::llround(job.start_s + at->place.time_s));
  return {"from " + feed_text(best->way.feed) + " it carries to " +
          grams_text(best->carries_kg) + ", layer " +
          std::to_string(at->place.layer + 1) + " of " + job.name + ", " +
          clock_text(report.head.at, when, zone) +
          ": split the plate there, or print the critical parts first"};
}

void others_table(std::string& out, const PlanReport& report, const SpoolPlan& plan) {
  if (plan.others.empty()) {
    section(out, "Shelf",
            {"no other spool of " + plan.spool.of.material.id + " with " +
             grams_text(plan.choices.needed_kg) + " left"});
    return;
  }
  Row head{"Shelf"};
  for (const FeedAir& feed : plan.frame.feeds) head.push_back(feed_text(feed));
  head.push_back("left");
  std::vector<Row> rows{head};
  for (const OtherSpool& o : plan.others) {
    const double least = *std::min_element(o.chances.begin(), o.chances.end());
    Row row{(o.told && least < report.target ? "+ " : "  ") + o.id};
    for (const double chance : o.chances) {
      row.push_back(o.told ? share_text(chance) : "cannot tell");
    }
    row.push_back(grams_text(o.left_kg));
    rows.push_back(row);
  }
  out += "\n";
  table(out, rows, 1);
}

void plan_section(std::string& out, const PlanReport& report, const SpoolPlan& plan,
                  const LocalZone& zone) {
  const Report& head = report.head;
  const std::string shares =
      head.nominal ? "one run at central values"
                   : "a share of " + std::to_string(head.members) + " ensemble members";
  section(out, "Spool", spool_sentences(head, plan.spool, zone));
  section(out, "",
          {"T" + std::to_string(plan.spool.tool) + " needs " +
           grams_text(plan.choices.needed_kg) + "; + suffices: chance under " +
           share_text(report.target) + " to pass " +
           percent_text(plan.spool.of.limits[head.decides]) + " (" +
           std::string(limit_name(head.decides)) + "), " + shares});
  option_table(out, report, plan, zone);
  section(out, "First", first_text(report, plan, zone));
  section(out, "Latest", latest_starts(report, plan, zone));
  if (plan.choices.enough) section(out, "Why not", obstacles(report, plan));
  section(out, "Split", split_text(report, plan, zone));
  others_table(out, report, plan);
}

void queue_section(std::string& out, const PlanReport& report, const LocalZone& zone) {
  std::vector<std::string> lines;
  for (std::size_t k = 0; k < report.queue.size(); ++k) {
    const QueuedJob& job = report.queue[k];
    const std::string number =
        report.queue.size() > 1 ? std::to_string(k + 1) + "  " : "";
    lines.push_back(
        number + job.name + ", " + duration_text(job.trace.duration_s) + ", " +
        std::to_string(job.trace.layers.size()) + " layers, start " +
        moment_text(report.head.at + Seconds(std::llround(job.start_s)), zone));
  }
  for (const std::string& tool : report.head.unwatched) {
    lines.push_back(tool + " not watched");
  }
  section(out, report.queue.size() > 1 ? "Jobs" : "Job", lines);
}

}  // namespace

std::string plan_text(const PlanReport& report, const LocalZone& zone) {
  std::string out;
  queue_section(out, report, zone);
  for (const SpoolPlan& plan : report.plans) plan_section(out, report, plan, zone);
  out += "\n";
  section(out, "Caution", report.head.cautions);
  return out;
}

}  // namespace drydepth
