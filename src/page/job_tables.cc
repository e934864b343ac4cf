#include "page/job_tables.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"
#include "page/html.h"
#include "report/history.h"
#include "report/words.h"

namespace drydepth {
namespace {

constexpr std::size_t kLatestEvents = 3;

using Row = std::vector<HtmlCell>;

std::string tool_name(int tool) { return "T" + std::to_string(tool); }

std::string feed_path(const Report& report, const FeedReport& feed) {
  return "/feeds/" + std::to_string(&feed - report.feeds.data());
}

std::string spool_path(const Report& report, const SpoolReport& spool) {
  return "/spools/" + std::to_string(&spool - report.spools.data());
}

const FeedReport* feed_in_use(const Report& report, const SpoolReport& spool) {
  for (const FeedReport& f : report.feeds) {
    if (f.tool == spool.tool && f.in_use) return &f;
  }
  return nullptr;
}

std::string above_head(const SpoolReport& spool, Limit kind) {
  return "above " + percent_text(spool.of.limits[kind]) + ", " +
         std::string(limit_name(kind));
}

std::vector<std::string> first_heads(const Report& report) {
  if (report.nominal) return {"first above"};
  return {"early (p10)", "middle (p50)", "late (p90)"};
}

// Verdict, both chances, the places of the deciding limit.
void add_findings(const Report& report, const FeedReport& f, const LocalZone& zone,
                  Row& row) {
  const std::string path = feed_path(report, f);
  row.push_back({std::string(verdict_name(f.verdict)), path + "/verdict"});
  for (const Limit kind : kLimits) {
    const bool decides = kind == report.decides;
    row.push_back({share_text(f.race.limits[kind].share_above),
                   decides ? path + "/share_above" : std::string()});
  }
  const std::string places =
      path + "/crossing/" + std::string(limit_name(report.decides));
  const auto& crossing = f.crossing[report.decides];
  if (report.nominal) {
    row.push_back({crossing_text(report, crossing[1], zone), places});
    return;
  }
  constexpr const char* kShares[] = {"/p10", "/p50", "/p90"};
  for (std::size_t k = 0; k < 3; ++k) {
    row.push_back({crossing_text(report, crossing[k], zone), places + kShares[k]});
  }
}

// What is not told of a spool is not shown as a number.
void add_unknown(const Report& report, const FeedReport& f, Row& row) {
  row.push_back(
      {std::string(verdict_name(f.verdict)), feed_path(report, f) + "/verdict"});
  row.resize(row.size() + 2 + first_heads(report).size(), HtmlCell{"-"});
}

std::string feed_words(const FeedReport& f) {
  return std::string(feed_name(f.feed())) + (f.in_use ? " (in use)" : "");
}

std::string body_words(const SpoolReport& spool) {
  const auto& tare_kg = body_at(spool.of.record, spool.of.timeline.to).tare_kg;
  return spool.of.body.kind + (tare_kg ? ", tare " + grams_text(*tare_kg) : "");
}

bool watched(const Report& report, const ToolTrace& tool) {
  const auto& none = report.unwatched;
  return std::find(none.begin(), none.end(), tool_name(tool.tool)) == none.end();
}

std::string tool_takes(const Report& report, const ToolTrace& tool) {
  std::string out = metres_text(tool.length_mm);
  for (const SpoolReport& s : report.spools) {
    if (s.tool == tool.tool) out += ", " + grams_text(s.needed_kg) + " dry";
  }
  if (tool.stated_length_mm) {
    out += " (slicer: " + metres_text(*tool.stated_length_mm) + ")";
  }
  return watched(report, tool) ? out : out + ", not watched";
}

std::string spool_takes(const Report& report, const SpoolReport& spool) {
  for (const ToolTrace& tool : report.job->tools) {
    if (tool.tool == spool.tool) return tool_takes(report, tool);
  }
  return "-";
}

// The layer that an edit stands at the start of, or in, and the time of day by then.
std::string edit_moment(const Report& report, const Edit& edit, const LocalZone& zone) {
  const std::vector<LayerMark>& layers = report.job->layers;
  const auto next = std::upper_bound(layers.begin(), layers.end(), edit.line,
                                     [](std::uint64_t line, const LayerMark& mark) {
                                       return line < mark.insert_line;
                                     });
  const double time_s = next == layers.begin() ? 0.0 : (next - 1)->time_s;
  const std::string clock =
      clock_text(report.at, report.at + Seconds(std::llround(time_s)), zone);
  if (next == layers.begin()) return clock;
  return "L" + std::to_string(next - layers.begin()) + " " + clock;
}

}  // namespace

std::string feed_table(const Report& report, const SpoolReport& spool,
                       const LocalZone& zone) {
  std::vector<std::string> head{"feed", "air assumed", "verdict",
                                above_head(spool, Limit::kCosmetic),
                                above_head(spool, Limit::kStrength)};
  for (const std::string& first : first_heads(report)) head.push_back(first);
  std::vector<Row> rows;
  for (const FeedReport& f : report.feeds) {
    if (f.tool != spool.tool) continue;
    Row row{{feed_words(f)}, {air_text(f.air())}};
    if (spool.told) {
      add_findings(report, f, zone, row);
    } else {
      add_unknown(report, f, row);
    }
    rows.push_back(std::move(row));
  }
  const std::string limit = percent_text(spool.of.limits[report.decides]);
  const std::string which =
      report.spools.size() > 1 ? ", the tool most likely to pass the limit" : "";
  return "<div class=\"feeds\">\n" +
         html_table("Feeds of " + tool_name(spool.tool) + which +
                        ": chance to be above each limit, and where " + limit +
                        " is first passed (grams printed, job layer L, clock)",
                    head, rows) +
         "</div>\n";
}

std::string tool_table(const Report& report, const LocalZone& zone) {
  std::vector<std::string> head{"tool",    "spool, material", "feed, air assumed",
                                "verdict", "above cosmetic",  "above strength"};
  for (const std::string& first : first_heads(report)) head.push_back(first);
  std::vector<Row> rows;
  for (const SpoolReport& s : report.spools) {
    const FeedReport* f = feed_in_use(report, s);
    if (!f) continue;
    Row row{{tool_name(s.tool)},
            {s.of.record.id + ", " + s.of.material.id, spool_path(report, s) + "/id"},
            {std::string(feed_name(f->feed())) + ", " + air_text(f->air())}};
    if (s.told) {
      add_findings(report, *f, zone, row);
    } else {
      add_unknown(report, *f, row);
    }
    rows.push_back(std::move(row));
  }
  return "<div class=\"tools\">\n" +
         html_table(
             "By tool, from the feed in use: chance to be above each limit, and "
             "where the " +
                 std::string(limit_name(report.decides)) +
                 " one is first passed (grams printed, job layer L, clock)",
             head, rows) +
         "</div>\n";
}

std::string job_facts(const Report& report) {
  const Trace& job = *report.job;
  std::vector<HtmlFact> facts{
      {"slicer", {job.slicer.empty() ? "not named" : job.slicer}},
      {"firmware", {job.firmware + " (" + job.firmware_source + ")"}},
      {"length",
       {std::to_string(job.layers.size()) + " layers, " +
        duration_text(job.duration_s) + " (+- " +
        format_fixed(job.duration_spread * 100.0, 0) + " %; " + job.duration_source +
        ")"}}};
  if (report.stamp) {
    facts.push_back({"SHA-256", {report.stamp->job.sha256.substr(0, 16) + " ..."}});
  }
  const bool in_rows = report.spools.size() > 1;
  for (const ToolTrace& tool : job.tools) {
    if (in_rows && watched(report, tool)) continue;
    facts.push_back({tool_name(tool.tool) + " takes", {tool_takes(report, tool)}});
  }
  return html_facts("Job", facts);
}

std::string spool_facts(const Report& report, const SpoolReport& spool,
                        const LocalZone& zone) {
  const SpoolRecord& record = spool.of.record;
  const std::string path = spool_path(report, spool);
  std::vector<HtmlFact> facts{
      {"material",
       {spool.of.material.name + " (" + spool.of.material.id + "), " +
        format_shortest(record.filament_diameter_m * 1e3) + " mm"}},
      {"body", {body_words(spool)}},
      {"net left", {grams_text(spool.now.remaining_kg) + " dry", path + "/left_g"}}};
  if (spool.told) {
    facts.push_back(
        {"mean moisture",
         {percent_range_text(report, spool.now.mean), path + "/mean_percent"}});
    for (const Limit kind : kLimits) {
      const std::string name(limit_name(kind));
      facts.push_back(
          {name, {depth_text(report, spool, kind), path + "/dry_depth_" + name}});
    }
  }
  facts.push_back({"clocks", {clocks_text(spool)}});
  const auto& events = record.events;
  const std::size_t first =
      events.size() > kLatestEvents ? events.size() - kLatestEvents : 0;
  for (std::size_t k = first; k < events.size(); ++k) {
    facts.push_back({k == first ? (first > 0 ? "latest events" : "events") : "",
                     {event_text(events[k], zone)}});
  }
  return html_facts("Spool " + record.id + " on " + tool_name(spool.tool), facts);
}

std::string spool_table(const Report& report, const LocalZone& zone) {
  const std::string decides(limit_name(report.decides));
  std::vector<Row> rows;
  for (const SpoolReport& s : report.spools) {
    const std::string path = spool_path(report, s);
    const auto until = valid_until(report, s);
    Row row{{tool_name(s.tool)},
            {body_words(s)},
            {grams_text(s.now.remaining_kg), path + "/left_g"},
            {spool_takes(report, s)}};
    if (s.told) {
      row.push_back({percent_range_text(report, s.now.mean), path + "/mean_percent"});
      row.push_back(
          {depth_words(report, s, report.decides), path + "/dry_depth_" + decides});
      row.push_back({until ? clock_text(report.at, *until, zone) : "-"});
    } else {
      row.resize(row.size() + 3, HtmlCell{"-"});
    }
    row.push_back({s.of.record.events.empty()
                       ? "nothing recorded"
                       : event_text(s.of.record.events.back(), zone)});
    rows.push_back(std::move(row));
  }
  return html_table("The spools of the tools: dry depth below the " + decides +
                        " limit, valid until then in room air",
                    {"tool", "body", "left", "the job takes", "mean moisture",
                     "dry depth", "until", "latest event"},
                    rows);
}

std::string edit_table(const Report& report, const LocalZone& zone) {
  std::vector<Row> rows{
      {{std::to_string(report.job->header_line)}, {"-"}, {"note"}, {"these findings"}}};
  for (const PlannedEdit& e : report.edits) {
    rows.push_back({{std::to_string(e.edit.line)},
                    {edit_moment(report, e.edit, zone)},
                    {e.edit.action},
                    {e.text + " (" + e.reason + ")"}});
  }
  return "<div class=\"edits\">\n" +
         html_table(
             report.edits_written
                 ? "Written into the job, by line of the job as sliced"
                 : "Nothing written into the job by this sheet; planned, by line",
             {"line", "when", "action", "what"}, rows) +
         "</div>\n";
}

}  // namespace drydepth
