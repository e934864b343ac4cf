#include "report/note.h"

#include <algorithm>

#include "base/wrap.h"
#include "report/words.h"

namespace drydepth {
namespace {

// Names come from people; G-code readers want ASCII, and '=' would look like a setting.
std::string comment(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return c < ' ' || c > '~' || c == '='; },
      '?');
  return text;
}

void add(std::vector<std::string>& lines, const std::string& sentence) {
  constexpr std::string_view kLead = ";drydepth: ", kMore = ";drydepth:   ";
  std::string_view lead = kLead;
  for (const std::string& line : wrap_text(comment(sentence), 79 - kMore.size())) {
    // A single word may still be too long: a hostile spool id.
    lines.push_back((std::string(lead) + line).substr(0, 79));
    lead = kMore;
  }
}

std::string spool_sentence(const SpoolReport& s, const Report& report) {
  return "T" + std::to_string(s.tool) + " spool " + s.of.record.id + ", " +
         s.of.material.id + ", " + grams_text(s.now.remaining_kg) + " left, " +
         grams_text(s.needed_kg) + " needed; mean moisture " +
         percent_range_text(report, s.now.mean);
}

std::string feed_sentence(const FeedReport& f, const SpoolReport& s,
                          const Report& report, const LocalZone& utc) {
  const Crossings& crossing = f.crossing[report.decides];
  std::string out = "feed " + std::string(feed_name(f.feed())) + ", air " +
                    air_text(f.air()) + ": " + std::string(verdict_name(f.verdict)) +
                    ", chance " +
                    share_text(f.race.limits[report.decides].share_above) + " above " +
                    percent_text(s.of.limits[report.decides]) + " (" +
                    std::string(limit_name(report.decides)) + ")";
  if (crossing[0]) {
    out += ", p10 " + crossing_text(report, crossing[0], utc) + ", p50 " +
           crossing_text(report, crossing[1], utc);
  }
  return out;
}

}  // namespace

std::vector<std::string> note_lines(const Report& report) {
  const LocalZone utc = utc_zone();
  std::vector<std::string> lines;
  add(lines, "drydepth " + report.version + ", job start taken as " +
                 format_instant(report.at));
  for (const SpoolReport& s : report.spools) {
    add(lines, spool_sentence(s, report));
    for (const FeedReport& f : report.feeds) {
      if (f.tool == s.tool && f.in_use) add(lines, feed_sentence(f, s, report, utc));
    }
  }
  for (const std::string& tool : report.unwatched) add(lines, tool + " not watched");
  for (const std::string& sentence : report.advice) add(lines, sentence);
  add(lines,
      "An estimate, not a measurement. To take all of this out: drydepth restore");
  if (report.stamp) {
    for (std::string& line : stamp_lines(*report.stamp)) {
      lines.push_back(std::move(line));
    }
  }
  return lines;
}

std::vector<Edit> edits_with_note(const Report& report) {
  std::vector<Edit> out;
  out.push_back({.offset = report.job->header_offset,
                 .line = report.job->header_line,
                 .action = "note",
                 .lines = note_lines(report)});
  for (const PlannedEdit& e : report.edits) out.push_back(e.edit);
  out.insert(out.end(), report.line_edits.begin(), report.line_edits.end());
  std::stable_sort(out.begin(), out.end(), comes_before);
  return out;
}

}  // namespace drydepth
