#include "sheet/text.h"

#include <algorithm>

#include "base/numbers.h"
#include "sheet/words.h"

namespace drydepth {
namespace {

constexpr std::size_t kColumns = 80;
constexpr std::size_t kIndent = 9;

using Row = std::vector<std::string>;

// A heading in the first column, sentences beside it.
void section(std::string& out, std::string_view heading,
             const std::vector<std::string>& sentences) {
  std::string label(heading);
  for (const std::string& sentence : sentences) {
    bool first = true;
    for (const std::string& line : wrap_text(sentence, kColumns - kIndent - 2)) {
      label.resize(kIndent, ' ');
      out += label + (first ? "" : "  ") + line + "\n";
      label.clear();
      first = false;
    }
  }
}

// Columns as wide as their widest cell; numbers (all but `left` columns) to the right.
void table(std::string& out, const std::vector<Row>& rows, std::size_t left) {
  std::vector<std::size_t> width(rows.front().size());
  for (const Row& row : rows) {
    for (std::size_t c = 0; c < row.size(); ++c) {
      width[c] = std::max(width[c], row[c].size());
    }
  }
  for (const Row& row : rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) {
      const std::string pad(width[c] - row[c].size(), ' ');
      if (c > 0) line += "  ";
      line += c < left ? row[c] + pad : pad + row[c];
    }
    while (!line.empty() && line.back() == ' ') line.pop_back();
    out += line + "\n";
  }
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

std::string depth_text(const Report& report, const SpoolReport& spool, LimitKind kind) {
  const Percentiles& kg = kind == LimitKind::kCosmetic ? spool.now.cosmetic_depth_kg
                                                       : spool.now.strength_depth_kg;
  std::string out = "estimated below " + percent_text(deciding(spool.limits, kind)) +
                    " (" + std::string(limit_name(kind)) + ") to " +
                    metres_text(kg.p50 / kg_per_mm(spool)) + ", " + grams_text(kg.p50) +
                    ", " + format_fixed(wraps_of(spool, kg.p50), 0) + " wraps";
  if (!report.nominal) {
    out += " (10-90 %: " + format_fixed(kg.p10 * 1000.0, 0) + "-" + grams_text(kg.p90) +
           ")";
  }
  return out;
}

// How long that depth may be relied on when the spool just stands there.
std::string valid_text(const Report& report, const SpoolReport& spool,
                       const LocalZone& zone) {
  const Percentiles& kg = report.decides == LimitKind::kCosmetic
                              ? spool.now.cosmetic_depth_kg
                              : spool.now.strength_depth_kg;
  if (kg.p50 <= 0) return "";
  const auto until = valid_until(report, spool);
  const std::string standing = " while it stands in room air";
  return until ? "; valid until " + format_local(*until, zone) + standing
               : "; valid for " + format_fixed(kLookAheadS / 86400.0, 0) +
                     " days and more" + standing;
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
  std::string head = spool.record.id + " (" + spool.material.name + ", body " +
                     spool.body.kind + ") at " + format_local(report.at, zone) + ": " +
                     grams_text(spool.now.remaining_kg) + " left";
  if (report.job) head += ", " + grams_text(spool.needed_kg) + " needed";
  std::vector<std::string> lines{
      head, "mean moisture " + percent_range_text(report, spool.now.mean)};
  for (const LimitKind kind : {LimitKind::kCosmetic, LimitKind::kStrength}) {
    lines.push_back(depth_text(report, spool, kind) +
                    (kind == report.decides ? valid_text(report, spool, zone) : ""));
  }
  section(out, "Spool", lines);
  depth_table(out, report, spool);
  for (const std::string& note : spool.notes) section(out, "", {note});
}

void feed_section(std::string& out, const Report& report, const SpoolReport& spool,
                  const LocalZone& zone) {
  const std::string limit = percent_text(deciding(spool.limits, report.decides)) +
                            ", " + std::string(limit_name(report.decides));
  std::vector<Row> rows;
  rows.push_back({"Feed", "verdict", "chance"});
  if (report.nominal)
    rows.back().push_back("first above " + limit);
  else
    for (const char* p : {"p10 (early)", "p50", "p90 (late)"}) rows.back().push_back(p);
  std::vector<std::string> airs, other;
  for (const FeedReport& f : report.feeds) {
    if (f.tool != spool.tool) continue;
    const LimitReport& decides = deciding(f, report.decides);
    const std::string name(feed_name(f.feed.feed));
    Row row{(f.in_use ? "* " : "  ") + name, std::string(verdict_name(f.verdict)),
            share_text(decides.share_above)};
    if (report.nominal) {
      row.push_back(crossing_text(report, decides.crossing[1], zone));
    } else {
      for (const auto& c : decides.crossing)
        row.push_back(crossing_text(report, c, zone));
    }
    rows.push_back(row);
    airs.push_back(name + " " + air_text(f.feed.air));
    const bool cosmetic = report.decides == LimitKind::kCosmetic;
    const LimitReport& second = cosmetic ? f.strength : f.cosmetic;
    other.push_back(name + " " + share_text(second.share_above) + " (p10 " +
                    crossing_text(report, second.crossing[0], zone) + ")");
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
        {"T" + std::to_string(spool.tool) + " from " + spool.record.id +
         ": where the filament at the nozzle first passes " + limit +
         " (grams printed, job layer L, clock); * is the feed in use; chance is the "
         "share of " +
         std::to_string(report.members) + " ensemble members"});
  }
  table(out, rows, 2);
  const LimitKind second = report.decides == LimitKind::kCosmetic
                               ? LimitKind::kStrength
                               : LimitKind::kCosmetic;
  section(out, "",
          {"chance above " + percent_text(deciding(spool.limits, second)) + ", " +
               std::string(limit_name(second)) + ": " + joined(other),
           "air assumed: " + joined(airs)});
}

void edit_section(std::string& out, const Report& report) {
  std::vector<std::string> lines;
  for (const PlannedEdit& e : report.edits) {
    lines.push_back("line " + std::to_string(e.edit.line) + ", " + e.edit.action +
                    ": " + e.text + " (" + e.reason + ")");
  }
  section(out, "Edits", lines);
}

// One row a wound layer: grams down to it, moisture, and a bar from p10 to p90 with the
// middle marked, on a scale that ends at the wettest.
void depth_chart(std::string& out, const Report& report, const SpoolReport& spool) {
  constexpr std::size_t kBar = 44;
  double top = deciding(spool.limits, LimitKind::kCosmetic);
  for (const LayerEstimate& l : spool.now.layers) top = std::max(top, l.content.p90);
  const auto column = [&](double content) {
    return std::min(
        kBar - 1, static_cast<std::size_t>(content / top * static_cast<double>(kBar)));
  };
  const std::size_t limit = column(deciding(spool.limits, report.decides));
  std::vector<Row> rows{{"layer", "to g", "% p10", "% p50", "% p90",
                         "0 %" + std::string(kBar - 9, ' ') + percent_text(top)}};
  double kg = 0;
  for (std::size_t k = 0; k < spool.now.layers.size(); ++k) {
    const LayerEstimate& l = spool.now.layers[k];
    kg += l.mass_kg;
    std::string bar(kBar, ' ');
    bar[limit] = '|';
    for (std::size_t c = column(l.content.p10); c <= column(l.content.p90); ++c) {
      bar[c] = '-';
    }
    bar[column(l.content.p50)] = 'o';
    rows.push_back({std::to_string(k + 1), format_fixed(kg * 1000.0, 0),
                    format_fixed(l.content.p10 * 100.0, 2),
                    format_fixed(l.content.p50 * 100.0, 2),
                    format_fixed(l.content.p90 * 100.0, 2), bar});
  }
  table(out, rows, 0);
  section(out, "",
          {"| the " + std::string(limit_name(report.decides)) +
           " limit, o estimated, - from p10 to p90; layer 1 is the outermost"});
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

std::string estimate_text(const Report& report, const LocalZone& zone) {
  std::string out;
  const SpoolReport& spool = report.spools.front();
  std::vector<std::string> lines{
      spool.record.id + " (" + spool.material.name + ", body " + spool.body.kind +
          ") at " + format_local(report.at, zone) + ": " +
          grams_text(spool.now.remaining_kg) + " left",
      "mean moisture " + percent_range_text(report, spool.now.mean)};
  for (const LimitKind kind : {LimitKind::kCosmetic, LimitKind::kStrength}) {
    lines.push_back(depth_text(report, spool, kind) +
                    (kind == report.decides ? valid_text(report, spool, zone) : ""));
  }
  for (const std::string& note : spool.notes) lines.push_back(note);
  section(out, "Spool", lines);
  out += "\n";
  depth_chart(out, report, spool);
  section(out, "Caution", report.cautions);
  return out;
}

}  // namespace drydepth
