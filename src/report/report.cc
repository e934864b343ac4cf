#include "report/report.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/numbers.h"
#include "report/words.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

std::string degrees(double kelvin) {
  return format_fixed(to_celsius(Kelvin{kelvin}).value, 0) + " C";
}

Crossings places(const Trace& trace, const ToolTrace& tool, const SpoolReport& spool,
                 const LimitRace& race) {
  Crossings out{};
  for (std::size_t k = 0; k < 3; ++k) {
    if (!race.crossing_kg[k]) continue;
    const double kg = *race.crossing_kg[k];
    out[k] = CrossingPlace{kg, place_of(trace, tool, kg / kg_per_mm(spool))};
  }
  return out;
}

// The feed with the least chance to pass the limit; of equals the least demanding.
const FeedReport& best_feed(const Report& report, const FeedReport& now) {
  const FeedReport* best = &now;
  for (const FeedReport& f : report.feeds) {
    if (f.tool == now.tool &&
        f.race.limits[report.decides].share_above <
            best->race.limits[report.decides].share_above - 0.001) {
      best = &f;
    }
  }
  return *best;
}

std::string advise_tool(const Report& report, const SpoolReport& spool,
                        const FeedReport& now) {
  const std::string who = report.spools.size() > 1
                              ? "T" + std::to_string(spool.tool) + ": "
                              : std::string();
  if (now.race.ran_out_kg) {
    return who + "the spool holds about " + grams_text(*now.race.ran_out_kg) +
           ", the job takes " + grams_text(spool.needed_kg) +
           ": it needs a second spool or another one.";
  }
  if (now.verdict == Verdict::kCannotTell) {
    return who +
           "the record says nothing of this spool's moisture: log a weighing, a "
           "drying or a storage before relying on it.";
  }
  const std::string feed(feed_name(now.feed()));
  const double chance = now.race.limits[report.decides].share_above;
  if (now.verdict == Verdict::kStaysDry) {
    return who + "from " + feed + " the job is estimated to stay below the " +
           std::string(limit_name(report.decides)) +
           " limit to its end (chance above it: " + share_text(chance) + ").";
  }
  const FeedReport& best = best_feed(report, now);
  const double least = best.race.limits[report.decides].share_above;
  const std::string other =
      std::string(feed_name(best.feed())) + " (" + air_text(best.air()) + ")";
  const std::string against =
      share_text(least) + ", from " + feed + " " + share_text(chance) + ".";
  if (best.verdict == Verdict::kStaysDry && least < chance - 0.1) {
    return who + "print from " + other +
           ": from there the chance to pass the limit is " + against;
  }
  if (least < chance - 0.1) {
    return who + "best of these is " + other + ": chance to pass the limit " + against +
           " More drying lowers it, a weighing narrows it.";
  }
  return who + "no feed lowers the chance by much (" + feed + " " + share_text(chance) +
         ", best " + share_text(least) +
         "): dry longer, take another spool, or print a shorter job.";
}

std::string support_sentence(const Report& report, const SpoolReport& spool) {
  const std::string counts =
      report.support == SupportWeight::kSame   ? "counts as any other"
      : report.support == SupportWeight::kLess ? "counts one step less"
                                               : "does not count";
  return "T" + std::to_string(spool.tool) + ": " + share_text(spool.support_share) +
         " of what it prints is support or tower, so its verdict " + counts +
         " (--support " + std::string(support_weight_name(report.support)) + ").";
}

}  // namespace

double kg_per_mm(const SpoolReport& spool) {
  return strand_mass_kg(1e-3, spool.of.record.filament_diameter_m,
                        spool.of.material.density_kg_m3.value);
}

double wraps_of(const SpoolReport& spool, double mass_kg) {
  const Winding winding =
      wound_at(spool.of.record, spool.of.material, spool.of.timeline);
  double wraps = 0.0;
  int layer = static_cast<int>(spool.now.layers.size()) - 1;
  for (const LayerEstimate& l : spool.now.layers) {
    const double part = std::min(mass_kg, l.mass_kg);
    const double radius = (winding.edges_m[static_cast<std::size_t>(layer)] +
                           winding.edges_m[static_cast<std::size_t>(layer) + 1]) /
                          2.0;
    wraps += part / kg_per_mm(spool) / 1000.0 / (2.0 * std::numbers::pi * radius);
    mass_kg -= part;
    --layer;
  }
  return wraps;
}

std::optional<Instant> valid_until(const Report& report, const SpoolReport& spool) {
  const auto seconds = valid_for_s(spool.now, report.decides, spool.needed_kg);
  if (!seconds) return std::nullopt;
  return report.at + Seconds(static_cast<long long>(*seconds));
}

SpoolReport report_spool(const Spool& spool, const SpoolFit& fit,
                         const SpoolEstimate& now) {
  return {.of = spool, .now = now, .fit = fit, .told = can_tell(spool, now)};
}

HandReport report_hand(const Trace& trace, const ToolTrace& tool,
                       const SpoolReport& spool, const HandRace& race) {
  HandReport out{.hand = race.hand, .share_above = race.share_above};
  if (!race.crossing_kg[1]) return out;
  const double kg = *race.crossing_kg[1];
  Place place = place_of(trace, tool, kg / out.hand.flow / kg_per_mm(spool));
  place.time_s /= out.hand.speed;
  out.likely = CrossingPlace{kg, place};
  return out;
}

FeedReport report_feed(const Trace& trace, const ToolTrace& tool,
                       const SpoolReport& spool, const FeedRace& race, Limit decides,
                       bool in_use) {
  FeedReport out{.tool = tool.tool, .in_use = in_use, .race = race};
  for (const Limit limit : kLimits) {
    out.crossing[limit] = places(trace, tool, spool, race.limits[limit]);
  }
  out.verdict = judge(race.limits[decides].share_above);
  for (const NozzleEstimate& n : race.nozzle) {
    out.nozzle.push_back(place_of(trace, tool, n.mass_kg / kg_per_mm(spool)));
  }
  return out;
}

Verdict counted(const Report& report, const FeedReport& feed) {
  for (const SpoolReport& spool : report.spools) {
    if (spool.tool == feed.tool && spool.supports_only) {
      return weighed(feed.verdict, report.support);
    }
  }
  return feed.verdict;
}

std::vector<std::string> advise(const Report& report) {
  std::vector<std::string> out;
  for (const SpoolReport& spool : report.spools) {
    if (spool.supports_only) out.push_back(support_sentence(report, spool));
    for (const FeedReport& feed : report.feeds) {
      if (feed.tool == spool.tool && feed.in_use) {
        out.push_back(advise_tool(report, spool, feed));
      }
    }
  }
  return out;
}

std::vector<std::string> usual_cautions(const Report& report) {
  std::vector<std::string> out{
      "An estimate, not a measurement: the maker's data sheet, your employer and local "
      "rules come first."};
  out.push_back(
      "Do not leave a hot dryer or a hot nozzle alone; mind fumes, hot spools and the "
      "load on the mains.");
  for (std::size_t k = 1; k < report.spools.size(); ++k) {
    for (std::size_t j = 0; j < k; ++j) {
      if (report.spools[j].of.record.id != report.spools[k].of.record.id) continue;
      out.push_back("T" + std::to_string(report.spools[j].tool) + " and T" +
                    std::to_string(report.spools[k].tool) + " take from one spool, " +
                    report.spools[k].of.record.id +
                    ": each was raced as if alone, so a crossing comes earlier than "
                    "said.");
    }
  }
  for (const SpoolReport& spool : report.spools) {
    const double ceiling = spool.of.body.heat_ceiling_c.value;
    double hottest = 0;
    for (const Span& span : spool.of.timeline.spans) {
      if (const auto* heater = std::get_if<HeaterAir>(&span.air)) {
        hottest = std::max(hottest, to_celsius(Kelvin{heater->temperature_k}).value);
      }
    }
    const double polymer = spool.of.material.drying_max_c.value;
    const double least = std::min(ceiling, polymer);
    if (hottest > least) {
      out.push_back(spool.of.record.id + " was dried at " + format_fixed(hottest, 0) +
                    " C, above the " + format_fixed(least, 0) + " C that its " +
                    (ceiling < polymer ? "body (" + spool.of.body.kind + ")"
                                       : "polymer (" + spool.of.material.id + ")") +
                    " is rated for here: check it for damage.");
    }
  }
  return out;
}

std::string air_text(const AirSpec& air) {
  if (const auto* stated = std::get_if<StatedAir>(&air)) {
    return degrees(stated->temperature_k) + ", " +
           format_fixed(stated->activity * 100.0, 0) + " %";
  }
  if (const auto* heater = std::get_if<HeaterAir>(&air)) {
    std::string out = degrees(heater->temperature_k);
    if (heater->set_k) out += " (set to " + degrees(*heater->set_k) + ")";
    if (heater->room) out += " in room air " + air_text(AirSpec{*heater->room});
    return out;
  }
  return std::get<AirLog>(air).path;
}

}  // namespace drydepth
