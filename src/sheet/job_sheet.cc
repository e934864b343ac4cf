#include "sheet/job_sheet.h"

#include <algorithm>

#include "base/numbers.h"
#include "sheet/figures.h"
#include "sheet/summary.h"
#include "sheet/history.h"
#include "sheet/html.h"
#include "sheet/unmeasured.h"
#include "sheet/words.h"

namespace drydepth {
namespace {

constexpr std::size_t kLatestEvents = 3;

std::string tool_name(int tool) { return "T" + std::to_string(tool); }

std::string capitalised(std::string sentence) {
  if (!sentence.empty() && sentence[0] >= 'a' && sentence[0] <= 'z') {
    sentence[0] = static_cast<char>(sentence[0] - 'a' + 'A');
  }
  return sentence;
}

std::string header(const Report& report, const LocalZone& zone) {
  std::string out = html_text("h1", "Job sheet: " + report.job_file);
  std::string as_of = "As of " + moment_text(report.at, zone) + ", the job's start.";
  for (const SpoolReport& spool : report.spools) {
    const auto until = valid_until(report, spool);
    if (!spool.told || !until) continue;
    as_of += " " + spool.record.id + ": valid until " + moment_text(*until, zone) +
             " while it stands in room air.";
  }
  return out + html_text("p", as_of);
}

std::string verdicts(const Report& report, const LocalZone& zone) {
  std::string out;
  for (const SpoolReport& spool : report.spools) {
    for (const FeedReport& feed : report.feeds) {
      if (feed.tool != spool.tool || !feed.in_use) continue;
      out +=
          html_text("p class=\"verdict\"", verdict_sentence(report, spool, feed, zone));
    }
  }
  for (const std::string& sentence : report.advice) {
    out += html_text("p", capitalised(sentence));
  }
  return out;
}

std::string feed_table(const Report& report, const SpoolReport& spool,
                       const LocalZone& zone) {
  std::vector<std::string> head{"feed", "air assumed", "verdict"};
  for (const LimitKind kind : {LimitKind::kCosmetic, LimitKind::kStrength}) {
    head.push_back("above " + percent_text(deciding(spool.limits, kind)) + ", " +
                   std::string(limit_name(kind)));
  }
  if (report.nominal)
    head.push_back("first above");
  else
    head.insert(head.end(), {"first, early (p10)", "p50", "late (p90)"});
  std::vector<std::vector<std::string>> rows;
  for (const FeedReport& f : report.feeds) {
    if (f.tool != spool.tool) continue;
    const LimitReport& decides = deciding(f, report.decides);
    std::vector<std::string> row{
        std::string(feed_name(f.feed.feed)) + (f.in_use ? " (in use)" : ""),
        air_text(f.feed.air), std::string(verdict_name(f.verdict)),
        share_text(f.cosmetic.share_above), share_text(f.strength.share_above)};
    for (std::size_t k = report.nominal ? 1 : 0; k < (report.nominal ? 2U : 3U); ++k) {
      row.push_back(crossing_text(report, decides.crossing[k], zone));
    }
    rows.push_back(std::move(row));
  }
  return html_table("Feeds of " + tool_name(spool.tool) +
                        ": chance to be above a limit, and where the deciding one is "
                        "first passed (grams printed, job layer L, clock)",
                    head, rows);
}

std::string figures(const Report& report, const SpoolReport& spool,
                    const LocalZone& zone) {
  if (!spool.told) return {};
  const std::string range = report.nominal ? "" : "; bands are p10-p90";
  Chart race = race_chart(report, spool);
  race.width = 708;
  race.height = 215;
  std::string words = "The race: moisture at the nozzle along the job, by feed" + range;
  if (!report.nominal && !race.marks.empty()) {
    words += "; the bar on the limit spans where the feed in use first passes it";
  }
  std::string out = html_figure(chart_svg(race), words + ".");
  Chart depth = depth_chart(report, spool);
  depth.width = 347;
  depth.height = 165;
  const std::string sign = report.nominal ? "mark" : "bar";
  out += "<div class=\"pair\">\n" +
         html_figure(chart_svg(depth),
                     "The spool: moisture by depth, outermost wrap at the left; the " +
                         sign + " on the limit is the dry depth.");
  if (auto course = course_chart(report, spool, zone)) {
    course->width = 347;
    course->height = 165;
    out += html_figure(chart_svg(*course),
                       spool.course->dried_from
                           ? "The drying: weight foreseen, and weighed (+- 2 sd)."
                           : "The weight foreseen, and weighed (+- 2 sd).");
  }
  return out + "</div>\n";
}

std::string job_facts(const Report& report) {
  const Trace& job = *report.job;
  std::vector<HtmlFact> facts{
      {"file", report.job_file},
      {"slicer", job.slicer.empty() ? "not named" : job.slicer},
      {"firmware", job.firmware + " (" + job.firmware_source + ")"},
      {"layers", std::to_string(job.layers.size())},
      {"time", duration_text(job.duration_s) + " (+- " +
                   format_fixed(job.duration_spread * 100.0, 0) + " %; " +
                   job.duration_source + ")"}};
  for (const ToolTrace& tool : job.tools) {
    std::string amount = metres_text(tool.length_mm);
    for (const SpoolReport& s : report.spools) {
      if (s.tool == tool.tool) amount += ", " + grams_text(s.needed_kg) + " dry";
    }
    if (tool.stated_length_mm) {
      amount += " (slicer: " + metres_text(*tool.stated_length_mm) + ")";
    }
    const std::string name = tool_name(tool.tool);
    const auto& none = report.unwatched;
    if (std::find(none.begin(), none.end(), name) != none.end()) {
      amount += ", not watched";
    }
    facts.push_back({name + " takes", amount});
  }
  return html_facts("Job", facts);
}

std::string spool_facts(const Report& report, const SpoolReport& spool,
                        const LocalZone& zone) {
  const SpoolRecord& record = spool.record;
  std::string body = spool.body.kind;
  const auto& tare_kg = body_at(record, spool.timeline.to).tare_kg;
  if (tare_kg) body += ", tare " + grams_text(*tare_kg);
  std::vector<HtmlFact> facts{
      {"material", spool.material.name + " (" + spool.material.id + "), " +
                       format_shortest(record.filament_diameter_m * 1e3) + " mm"},
      {"body", body},
      {"net left", grams_text(spool.now.remaining_kg) + " dry"}};
  if (spool.told) {
    facts.push_back({"mean moisture", percent_range_text(report, spool.now.mean)});
    for (const LimitKind kind : {LimitKind::kCosmetic, LimitKind::kStrength}) {
      facts.push_back({std::string(limit_name(kind)), depth_text(report, spool, kind)});
    }
  }
  const auto& events = record.events;
  const std::size_t first =
      events.size() > kLatestEvents ? events.size() - kLatestEvents : 0;
  for (std::size_t k = first; k < events.size(); ++k) {
    facts.push_back({k == first ? (first > 0 ? "latest events" : "events") : "",
                     event_text(events[k], zone)});
  }
  return html_facts("Spool " + record.id + " on " + tool_name(spool.tool), facts);
}

std::string written(const Report& report) {
  std::vector<std::vector<std::string>> rows{
      {std::to_string(report.job->header_line), "note", "these findings"}};
  for (const PlannedEdit& e : report.edits) {
    rows.push_back(
        {std::to_string(e.edit.line), e.edit.action, e.text + " (" + e.reason + ")"});
  }
  return html_table(
      report.edits_written
          ? "Written into the job, by line of the job as sliced"
          : "Nothing written into the job by this sheet; planned, by line",
      {"line", "action", "what"}, rows);
}

std::string trust(const Report& report) {
  std::vector<std::string> missing;
  for (const SpoolReport& spool : report.spools) {
    const std::string who = report.spools.size() > 1 ? spool.record.id + ": " : "";
    for (const std::string& sentence : unmeasured(spool)) {
      missing.push_back(who + sentence);
    }
    for (const std::string& suspect : spool.fit.suspects) {
      missing.push_back(who + "Check: " + suspect + ".");
    }
  }
  return "<div class=\"pair\">\n<section>\n" + html_text("h2", "Not measured") +
         html_list(missing) + "</section>\n<section>\n" + html_text("h2", "Cautions") +
         html_list(report.cautions) + "</section>\n</div>\n";
}

std::string signature(const Report& report) {
  return "<div class=\"sign\">" + html_text("span", "checked by") +
         html_text("span", "date, time") + html_text("span", "signature") + "</div>\n" +
         "<footer>" +
         html_text("p", "drydepth " + report.version + ", " +
                            (report.nominal
                                 ? "one run at central values"
                                 : std::to_string(report.members) +
                                       " ensemble members; chance is their share") +
                            ". An estimate: it names what it assumes and is no release "
                            "of the part.") +
         "</footer>\n";
}

}  // namespace

std::string job_sheet(const Report& report, const LocalZone& zone) {
  std::string body = header(report, zone) + verdicts(report, zone);
  for (const SpoolReport& spool : report.spools) {
    body += "<div class=\"feeds\">\n" + feed_table(report, spool, zone) + "</div>\n" +
            figures(report, spool, zone);
  }
  body += "<div class=\"pair\">\n<section>\n" + job_facts(report) + written(report) +
          "</section>\n<section>\n";
  for (const SpoolReport& spool : report.spools) {
    body += spool_facts(report, spool, zone);
  }
  body += "</section>\n</div>\n" + trust(report) + signature(report);
  return html_page("Job sheet: " + report.job_file, body);
}

}  // namespace drydepth
