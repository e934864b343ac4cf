#include "page/sheet_text.h"

#include "base/wrap.h"
#include "report/into/summary.h"
#include "report/unmeasured.h"
#include "report/words.h"

namespace drydepth {
namespace {

/// Sentences one below the other; what a sentence runs over is indented.
class Roll {
 public:
  explicit Roll(std::size_t columns) : columns_(columns) {}

  void add(std::string_view sentence) {
    std::string lead;
    for (const std::string& line : narrow_lines(sentence, columns_ - 2)) {
      out_ += lead + line + "\n";
      lead = "  ";
    }
  }
  void heading(std::string_view name) {
    out_ += "\n";
    add(name);
    out_ += std::string(std::min(columns_, columns_of(name)), '-') + "\n";
  }
  /// A name with a line to write on behind it.
  void blank(std::string_view name) {
    out_ += "\n" + std::string(name) + " " +
            std::string(columns_ - name.size() - 1, '_') + "\n";
  }
  std::string take() { return std::move(out_); }

 private:
  std::size_t columns_;
  std::string out_;
};

std::string feed_sentence(const Report& report, const SpoolReport& spool,
                          const FeedReport& feed, const LocalZone& zone) {
  std::string out = std::string(feed_name(feed.feed())) +
                    (feed.in_use ? " (in use), " : ", ") + air_text(feed.air()) + ": " +
                    std::string(verdict_name(feed.verdict));
  if (feed.verdict == Verdict::kCannotTell) return out;
  for (const Limit kind : kLimits) {
    out += ", chance above " + percent_text(spool.of.limits[kind]) + " (" +
           std::string(limit_name(kind)) + ") " +
           share_text(feed.race.limits[kind].share_above);
  }
  const auto& crossing = feed.crossing[report.decides];
  if (report.nominal) {
    return out + "; first above: " + crossing_text(report, crossing[1], zone);
  }
  return out + "; first above, early: " + crossing_text(report, crossing[0], zone) +
         ", middle: " + crossing_text(report, crossing[1], zone) +
         ", late: " + crossing_text(report, crossing[2], zone);
}

void add_spool(Roll& roll, const Report& report, const SpoolReport& spool,
               const LocalZone& zone) {
  roll.heading("Feeds of T" + std::to_string(spool.tool));
  for (const FeedReport& feed : report.feeds) {
    if (feed.tool == spool.tool) roll.add(feed_sentence(report, spool, feed, zone));
  }
  roll.heading("Spool on T" + std::to_string(spool.tool));
  for (const std::string& s : spool_sentences(report, spool, zone)) roll.add(s);
  for (const std::string& note : spool.of.notes) roll.add(note);
}

void add_trust(Roll& roll, const Report& report) {
  roll.heading("Not measured");
  for (const SpoolReport& spool : report.spools) {
    const std::string who = report.spools.size() > 1 ? spool.of.record.id + ": " : "";
    for (const std::string& sentence : unmeasured(spool)) roll.add(who + sentence);
    for (const std::string& suspect : spool.fit.suspects) {
      roll.add(who + "Check: " + suspect + ".");
    }
  }
  roll.heading("Cautions");
  for (const std::string& caution : report.cautions) roll.add(caution);
}

}  // namespace

std::string sheet_text(const Report& report, const LocalZone& zone,
                       std::size_t columns) {
  Roll roll(columns);
  roll.add("Job sheet: " + report.job_file);
  roll.add("As of " + moment_text(report.at, zone) + ", the job's start; " +
           duration_text(report.job->duration_s) + ", " +
           std::to_string(report.job->layers.size()) + " layers.");
  for (const SpoolReport& spool : report.spools) {
    for (const FeedReport& feed : report.feeds) {
      if (feed.tool != spool.tool || !feed.in_use) continue;
      roll.add(verdict_sentence(report, spool, feed, zone));
    }
  }
  for (const std::string& tool : report.unwatched) roll.add(tool + " not watched.");
  for (const std::string& sentence : report.advice) roll.add("Advice: " + sentence);
  for (const SpoolReport& spool : report.spools) add_spool(roll, report, spool, zone);
  roll.heading("Edits");
  for (const std::string& sentence : edit_sentences(report)) roll.add(sentence);
  add_trust(roll, report);
  for (const char* name : {"checked by", "date, time", "signature"}) roll.blank(name);
  return roll.take();
}

}  // namespace drydepth
