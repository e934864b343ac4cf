#include "report/text.h"

#include <algorithm>

#include "base/numbers.h"
#include "report/layout.h"
#include "report/words.h"

namespace drydepth {
namespace {

// Feed, verdict and chance, then the crossings: in one table where that fits the
// screen, else in two.
void race_table(std::string& out, const std::vector<Row>& rows) {
  std::string whole;
  table(whole, rows, 2);
  std::size_t widest = 0, start = 0;
  for (std::size_t end; (end = whole.find('\n', start)) != std::string::npos;
       start = end + 1) {
    widest = std::max(widest, end - start);
  }
  if (widest <= kColumns) {
    out += whole;
    return;
  }
  std::vector<Row> verdicts, crossings;
  for (const Row& row : rows) {
    verdicts.emplace_back(row.begin(), row.begin() + 3);
    crossings.push_back({row[0]});
    crossings.back().insert(crossings.back().end(), row.begin() + 3, row.end());
  }
  table(out, verdicts, 2);
  table(out, crossings, 1);
}

// A tool's line in the job section: what it takes, and what the slicer says of it.
std::string tool_text(const Report& report, const ToolTrace& tool) {
  std::string out = "T" + std::to_string(tool.tool) + "  ";
  for (const SpoolReport& s : report.spools) {
    if (s.tool == tool.tool) out += grams_text(s.needed_kg) + ", ";
  }
  out += metres_text(tool.length_mm);
  if (tool.stated_length_mm) {
    out += " (the slicer states " + metres_text(*tool.stated_length_mm);
    if (tool.stated_mass_g) out += ", " + format_fixed(*tool.stated_mass_g, 2) + " g";
    out += ")";
  }
  for (const std::string& name : report.unwatched) {
    if (name == "T" + std::to_string(tool.tool)) out += ", not watched";
  }
  return out;
}

void job_section(std::string& out, const Report& report) {
  const Trace& job = *report.job;
  std::vector<std::string> lines;
  lines.push_back(report.job_file + ", " +
                  (job.slicer.empty() ? "slicer not named" : job.slicer) +
                  ", firmware " + job.firmware);
  for (const ToolTrace& tool : job.tools) {
    lines.push_back(tool_text(report, tool));
    if (!tool.stated_note.empty()) lines.push_back(tool.stated_note);
  }
  lines.push_back(duration_text(job.duration_s) + " (+-" +
                  format_fixed(job.duration_spread * 100.0, 0) + " %; " +
                  job.duration_source + "), " + std::to_string(job.layers.size()) +
                  " layers");
  for (const std::string& note : job.notes) lines.push_back(note);
  section(out, "Job", lines);
}

// Moisture by wound layer at a handful of depths that fit on one screen.
void depth_table(std::string& out, const Report& report, const SpoolReport& spool) {
  const std::size_t count = spool.now.layers.size();
  std::vector<std::size_t> chosen;
  for (const std::size_t k : {1U, 2U, 3U, 5U, 8U, 12U, 18U, 25U}) {
    if (k < count) chosen.push_back(k);
  }
  if (count > 0) chosen.push_back(count);
  Row layer{"wound layer"}, depth{"down to g"}, middle{"% estimated"}, low{"% p10"},
      high{"% p90"};
  double kg = 0;
  std::size_t next = 0;
  for (std::size_t k = 1; k <= count; ++k) {
    const LayerEstimate& l = spool.now.layers[k - 1];
    kg += l.mass_kg;
    if (next >= chosen.size() || chosen[next] != k) continue;
    ++next;
    layer.push_back(std::to_string(k));
    depth.push_back(format_fixed(kg * 1000.0, 0));
    middle.push_back(format_fixed(l.content.p50 * 100.0, 2));
    low.push_back(format_fixed(l.content.p10 * 100.0, 2));
    high.push_back(format_fixed(l.content.p90 * 100.0, 2));
  }
  std::string block;
  if (report.nominal)
    table(block, {layer, depth, middle}, 1);
  else
    table(block, {layer, depth, middle, low, high}, 1);
  std::size_t start = 0;
  while (start < block.size()) {
    const std::size_t end = block.find('\n', start) + 1;
    out += std::string(kIndent, ' ') + block.substr(start, end - start);
    start = end;
  }
}

void spool_section(std::string& out, const Report& report, const SpoolReport& spool,
                   const LocalZone& zone) {
  section(out, "Spool", spool_sentences(report, spool, zone));
  if (spool.told) depth_table(out, report, spool);
  section(out, "", fit_sentences(spool));
  for (const std::string& note : spool.of.notes) section(out, "", {note});
}

// Where the likely crossing goes when somebody turns the printer's knobs.
std::string hands_text(const Report& report, const FeedReport& feed,
                       const LocalZone& zone) {
  std::string out = "by hand at the printer, from " +
                    std::string(feed_name(feed.feed())) +
                    (report.nominal ? ", first above: " : ", p50: ");
  for (const HandReport& h : feed.hands) {
    const bool speed = h.hand.speed != 1.0;
    if (&h != &feed.hands.front()) out += "; ";
    out += std::string(speed ? "speed " : "flow ") +
           share_text(speed ? h.hand.speed : h.hand.flow) + " " +
           crossing_text(report, h.likely, zone);
  }
  return out;
}

void feed_section(std::string& out, const Report& report, const SpoolReport& spool,
                  const LocalZone& zone) {
  const std::string limit = percent_text(spool.of.limits[report.decides]) + ", " +
                            std::string(limit_name(report.decides));
  const Limit second = other_limit(report.decides);
  std::vector<Row> rows;
  rows.push_back({"Feed", "verdict", "chance"});
  if (report.nominal)
    rows.back().push_back("first above " + limit);
  else
    for (const char* p : {"p10 (early)", "p50", "p90 (late)"}) rows.back().push_back(p);
  std::vector<std::string> airs, other;
  for (const FeedReport& f : report.feeds) {
    if (f.tool != spool.tool) continue;
    const Crossings& crossing = f.crossing[report.decides];
    const std::string name(feed_name(f.feed()));
    Row row{(f.in_use ? "* " : "  ") + name, std::string(verdict_name(f.verdict)),
            share_text(f.race.limits[report.decides].share_above)};
    if (report.nominal) {
      row.push_back(crossing_text(report, crossing[1], zone));
    } else {
      for (const auto& c : crossing) row.push_back(crossing_text(report, c, zone));
    }
    rows.push_back(row);
    airs.push_back(name + " " + air_text(f.air()));
    other.push_back(name + " " + share_text(f.race.limits[second].share_above));
  }
  const auto joined = [](const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) text += (text.empty() ? "" : "; ") + part;
    return text;
  };
  out += "\n";
  if (!report.nominal) {
    section(
        out, "Race",
        {"T" + std::to_string(spool.tool) + " from " + spool.of.record.id +
         ": where the filament at the nozzle first passes " + limit +
         " (grams printed, job layer L, clock); * is the feed in use; chance is the "
         "share of " +
         std::to_string(report.members) + " ensemble members"});
  }
  race_table(out, rows);
  section(out, "",
          {"chance above " + percent_text(spool.of.limits[second]) + ", " +
               std::string(limit_name(second)) + ": " + joined(other),
           "air assumed: " + joined(airs)});
  for (const FeedReport& f : report.feeds) {
    if (f.tool == spool.tool && !f.hands.empty()) {
      section(out, "", {hands_text(report, f, zone)});
    }
  }
}

void edit_section(std::string& out, const Report& report) {
  std::vector<std::string> lines;
  for (const PlannedEdit& e : report.edits) {
    lines.push_back(std::string(report.edits_written ? "" : "not written: ") + "line " +
                    std::to_string(e.edit.line) + ", " + e.edit.action + ": " + e.text +
                    " (" + e.reason + ")");
  }
  section(out, "Edits", lines);
}

/// The option that stands in place of a guess; empty for none.
std::string_view option_for(std::string_view explained) {
  struct Row {
    std::string_view what, option;
  };
  static constexpr Row kRows[] = {{"firmware", "--firmware"},
                                  {"E mode", "--e-mode"},
                                  {"E unit", "--e-is"},
                                  {"filament diameter", "--diameter"},
                                  {"duration", "--duration"}};
  for (const Row& row : kRows) {
    if (row.what == explained) return row.option;
  }
  return {};
}

}  // namespace

std::string report_text(const Report& report, const LocalZone& zone) {
  std::string out;
  job_section(out, report);
  for (const SpoolReport& spool : report.spools) {
    spool_section(out, report, spool, zone);
    feed_section(out, report, spool, zone);
  }
  out += "\n";
  if (!report.edits.empty()) edit_section(out, report);
  section(out, "Advice", report.advice);
  section(out, "Caution", report.cautions);
  return out;
}

std::string explain_text(const Trace& job) {
  std::vector<std::string> lines;
  for (const Explained& e : job.explained) {
    const std::string_view option = e.guessed ? option_for(e.what) : "";
    lines.push_back(e.what + ": " + e.value + (e.guessed ? " (a guess; " : " (") +
                    e.source + ")" + (option.empty() ? "" : "; else give ") +
                    std::string(option));
  }
  std::string out;
  section(out, "Read", lines);
  return out;
}

}  // namespace drydepth
