#include "report/words.h"

#include <cmath>

#include "base/numbers.h"
#include "report/evidence_text.h"
#include "spool/exposure.h"

namespace drydepth {

std::string grams_text(double kg) {
  const double g = kg * 1000.0;
  return format_fixed(g, g < 20.0 ? 1 : 0) + " g";
}

std::string percent_text(double content) {
  return format_fixed(content * 100.0, 2) + " %";
}

std::string share_text(double share) { return format_fixed(share * 100.0, 0) + " %"; }

std::string metres_text(double mm) { return format_fixed(mm / 1000.0, 1) + " m"; }

std::string duration_text(double seconds) {
  const long minutes = std::lround(seconds / 60.0);
  if (minutes < 60) return std::to_string(minutes) + " min";
  const long rest = minutes % 60;
  return std::to_string(minutes / 60) + " h " + (rest < 10 ? "0" : "") +
         std::to_string(rest) + " min";
}

std::string moment_text(Instant at, const LocalZone& zone) {
  const auto minutes =
      std::chrono::duration_cast<std::chrono::minutes>(zone.offset_at(at)).count();
  std::string out = format_local(at, zone) + " UTC";
  if (minutes == 0) return out;
  const auto size = std::abs(minutes);
  out += (minutes < 0 ? "-" : "+") + std::to_string(size / 60);
  if (size % 60 != 0) out += (size % 60 < 10 ? ":0" : ":") + std::to_string(size % 60);
  return out;
}

std::string percent_range_text(const Report& report, const Percentiles& content) {
  if (report.nominal) return percent_text(content.p50);
  return percent_text(content.p50) + " (p10-p90 " +
         format_fixed(content.p10 * 100.0, 2) + "-" + percent_text(content.p90) + ")";
}

std::vector<std::string> fit_sentences(const SpoolReport& spool) {
  const SpoolFit& fit = spool.fit;
  std::vector<std::string> out;
  const std::size_t n = fit.readings.size();
  const std::string least = percent_text(fit.detectable.value_or(0));
  if (n > 0) {
    out.push_back(
        n == 1 ? "fitted to 1 weighing; a second one would tell a change of the "
                 "mean of " +
                     least
               : "fitted to " + std::to_string(n) +
                     " weighings; two of them tell a change of the mean of " + least +
                     (fit.evidence.empty() ? ", the outer wraps stay more open" : ""));
  }
  for (const std::string& found : evidence_sentences(spool)) out.push_back(found);
  for (const std::string& suspect : fit.suspects) out.push_back("check: " + suspect);
  return out;
}

std::string clock_text(Instant from, Instant when, const LocalZone& zone) {
  const auto day = [&](Instant at) {
    const CivilTime t = to_local(at, zone);
    return std::chrono::sys_days(std::chrono::year(t.year) / t.month / t.day);
  };
  const auto later = (day(when) - day(from)).count();
  return (later > 0 ? "+" + std::to_string(later) + "d " : "") +
         format_local(when, zone).substr(11);
}

std::string crossing_text(const Report& report, const std::optional<CrossingPlace>& at,
                          const LocalZone& zone) {
  if (!at) return "never";
  const Instant when = report.at + Seconds(std::llround(at->place.time_s));
  return format_fixed(at->mass_kg * 1000.0, 0) + " g L" +
         std::to_string(at->place.layer + 1) + " " + clock_text(report.at, when, zone);
}

std::string depth_words(const Report& report, const SpoolReport& spool, Limit kind) {
  const Percentiles& kg = spool.now.depth_kg[kind];
  std::string out = "in no wrap";
  if (kg.p50 > 0) {
    out = metres_text(kg.p50 / kg_per_mm(spool)) + ", " + grams_text(kg.p50) + ", " +
          format_fixed(wraps_of(spool, kg.p50), 0) + " wraps";
  }
  if (report.nominal) return out;
  return out + " (p10-p90 " + format_fixed(kg.p10 * 1000.0, 0) + "-" +
         format_fixed(kg.p90 * 1000.0, 0) + " g)";
}

std::string depth_text(const Report& report, const SpoolReport& spool, Limit kind) {
  const Percentiles& kg = spool.now.depth_kg[kind];
  return "estimated below " + percent_text(spool.of.limits[kind]) + " (" +
         std::string(limit_name(kind)) + ") " + (kg.p50 > 0 ? "to " : "") +
         depth_words(report, spool, kind);
}

std::string valid_text(const Report& report, const SpoolReport& spool,
                       const LocalZone& zone) {
  const Percentiles& kg = spool.now.depth_kg[report.decides];
  if (kg.p50 <= 0) return "";
  const auto until = valid_until(report, spool);
  const std::string standing = " while it stands in room air";
  return until ? "; valid until " + moment_text(*until, zone) + standing
               : "; valid for " + format_fixed(kLookAheadS / 86400.0, 0) +
                     " days and more" + standing;
}

std::string clocks_text(const SpoolReport& spool) {
  const auto hours = [](double seconds) {
    return seconds < kSecondsPerHour
               ? duration_text(seconds)
               : format_fixed(seconds / kSecondsPerHour, 0) + " h";
  };
  const Exposure exposure = exposure_of(spool.of.timeline);
  return (exposure.since_drying_s ? hours(*exposure.since_drying_s) + " since drying"
                                  : std::string("no drying recorded")) +
         ", " + hours(exposure.hot_s) + " above 60 C";
}

std::vector<std::string> spool_sentences(const Report& report, const SpoolReport& spool,
                                         const LocalZone& zone) {
  std::string head = spool.of.record.id + " (" + spool.of.material.name + ", body " +
                     spool.of.body.kind + ") at " + moment_text(report.at, zone) +
                     ": " + grams_text(spool.now.remaining_kg) + " left";
  if (report.job) head += ", " + grams_text(spool.needed_kg) + " needed";
  std::vector<std::string> out{head};
  if (!spool.told) {
    std::string text =
        "cannot tell its moisture: the record states none at opening, and ";
    text += spool.fit.detectable
                ? "its weighings can tell no change of the mean below " +
                      percent_text(*spool.fit.detectable)
                : std::string("nothing was weighed");
    out.push_back(text +
                  "; a weighing before and after drying on a finer scale, or the "
                  "moisture at opening, would tell");
    return out;
  }
  out.push_back("mean moisture " + percent_range_text(report, spool.now.mean));
  for (const Limit kind : kLimits) {
    out.push_back(depth_text(report, spool, kind) +
                  (kind == report.decides ? valid_text(report, spool, zone) : ""));
  }
  return out;
}

}  // namespace drydepth
