#include "page/job_sheet.h"

#include <algorithm>

#include "base/markup.h"
#include "base/numbers.h"
#include "page/figures.h"
#include "page/html.h"
#include "page/job_tables.h"
#include "report/into/summary.h"
#include "report/unmeasured.h"
#include "report/words.h"

namespace drydepth {
namespace {

std::string tool_name(int tool) { return "T" + std::to_string(tool); }

std::string capitalised(std::string sentence) {
  if (!sentence.empty() && sentence[0] >= 'a' && sentence[0] <= 'z') {
    sentence[0] = static_cast<char>(sentence[0] - 'a' + 'A');
  }
  return sentence;
}

std::string header(const Report& report, const LocalZone& zone) {
  return html_text("h1", "Job sheet: " + report.job_file) +
         html_text("p", "As of " + moment_text(report.at, zone) + ", the job's start.");
}

// Until when the dry depth holds, for the person who is late.
std::string until_sentence(const Report& report, const SpoolReport& spool,
                           const LocalZone& zone) {
  const auto until = valid_until(report, spool);
  if (report.spools.size() > 1 || !spool.told || !until) return {};
  return html_sentence("p", "The estimate of the spool is valid until " +
                                moment_text(*until, zone) +
                                " while it stands in room air.");
}

// The word at a glance, the sentence beside it.
std::string verdict_box(const Report& report, const SpoolReport& spool,
                        const FeedReport& feed, const LocalZone& zone) {
  const double share = feed.race.limits[report.decides].share_above;
  const std::string path = "/feeds/" + std::to_string(&feed - report.feeds.data());
  std::string glance =
      html_text("h2 data-json=\"" + path + "/verdict\"", verdict_name(feed.verdict));
  if (spool.told) {
    glance += html_text("p data-json=\"" + path + "/share_above\"",
                        "chance " + share_text(share));
  }
  return "<section class=\"verdict\">\n<div>\n" + glance + "</div>\n<div>\n" +
         html_sentence("p", verdict_sentence(report, spool, feed, zone)) +
         until_sentence(report, spool, zone) + "</div>\n</section>\n";
}

// The spool whose feed in use has the greatest chance to pass the limit; of equals the
// one that is first above it, then the first one. Figures are drawn of this one alone,
// so that a job of several spools still fits a page. Of a report with a spool.
const SpoolReport& critical_spool(const Report& report) {
  const SpoolReport* out = &report.spools.front();
  double share = -1, time_s = 0;
  for (const SpoolReport& spool : report.spools) {
    for (const FeedReport& feed : report.feeds) {
      if (!spool.told || feed.tool != spool.tool || !feed.in_use) continue;
      const double above = feed.race.limits[report.decides].share_above;
      const Crossings& crossing = feed.crossing[report.decides];
      const auto& first = crossing[1] ? crossing[1] : crossing[0];
      const double when = first ? first->place.time_s : report.job->duration_s;
      if (above < share || (above == share && when >= time_s)) {
        continue;
      }
      out = &spool;
      share = above;
      time_s = when;
    }
  }
  return *out;
}

// Of several spools the box is the critical one's, with all of them in rows below.
std::string verdicts(const Report& report, const SpoolReport& shown,
                     const LocalZone& zone) {
  std::string out;
  for (const FeedReport& feed : report.feeds) {
    if (feed.tool != shown.tool || !feed.in_use) continue;
    out += verdict_box(report, shown, feed, zone);
  }
  if (report.spools.size() > 1) out += tool_table(report, zone);
  for (const std::string& sentence : report.advice) {
    out += html_sentence("p class=\"advice\"", capitalised(sentence));
  }
  return out;
}

std::string figures(const Report& report, const SpoolReport& spool,
                    const LocalZone& zone) {
  if (!spool.told) return {};
  const std::string range = report.nominal ? "" : "; the band is p10-p90";
  Chart race = race_chart(report, spool);
  // Beside rows of several tools there is less room.
  const bool many = report.spools.size() > 1;
  race.width = 760;
  race.height = many ? 168 : 182;
  std::string words = "The race, by feed" + range;
  if (!report.nominal && !race.marks.empty()) {
    words += "; the bar on the limit spans where the feed in use first passes it";
  }
  if (!report.edits.empty()) {
    words +=
        report.edits_written ? "; upright: edits written" : "; upright: edits planned";
  }
  std::string out =
      "<div class=\"race\">\n" + html_figure(chart_svg(race), words + ".") + "</div>\n";
  Chart depth = depth_chart(report, spool);
  depth.width = 373;
  depth.height = many ? 148 : 152;
  const std::string sign = report.nominal ? "mark" : "bar";
  out += "<div class=\"pair\">\n" +
         html_figure(chart_svg(depth), "The spool, from outside; the " + sign +
                                           " on the limit is the dry depth.");
  if (auto course = course_chart(report, spool, zone)) {
    course->width = 373;
    course->height = many ? 148 : 152;
    out += html_figure(chart_svg(*course),
                       spool.course->dried_from
                           ? "The drying: weight foreseen, and weighed (+- 2 sd)."
                           : "The weight foreseen, and weighed (+- 2 sd).");
  }
  return out + "</div>\n";
}

// A sentence said of several spools is said once, with their tools.
std::vector<std::string> not_measured(const Report& report) {
  std::vector<std::string> sentences, tools;
  const auto add = [&](const std::string& tool, const std::string& sentence) {
    const auto said = std::find(sentences.begin(), sentences.end(), sentence);
    if (said == sentences.end()) {
      sentences.push_back(sentence);
      tools.push_back(tool);
    } else {
      tools[static_cast<std::size_t>(said - sentences.begin())] += ", " + tool;
    }
  };
  for (const SpoolReport& spool : report.spools) {
    const std::string tool = tool_name(spool.tool);
    for (const std::string& s : unmeasured(spool)) add(tool, s);
    for (const std::string& s : spool.fit.suspects) add(tool, "Check: " + s + ".");
  }
  if (report.spools.size() < 2) return sentences;
  std::string all;
  for (const SpoolReport& spool : report.spools) {
    all += (all.empty() ? "" : ", ") + tool_name(spool.tool);
  }
  for (std::size_t k = 0; k < sentences.size(); ++k) {
    sentences[k] = (tools[k] == all ? "All tools" : tools[k]) + ": " + sentences[k];
  }
  return sentences;
}

std::string trust(const Report& report) {
  return "<div class=\"pair\">\n<section>\n" + html_text("h2", "Not measured") +
         html_list(not_measured(report)) + "</section>\n<section>\n" +
         html_text("h2", "Cautions") + html_list(report.cautions) +
         "</section>\n</div>\n";
}

// What the deciding limit rests on.
std::string sources(const Report& report) {
  std::string out;
  for (const SpoolReport& spool : report.spools) {
    const Sourced& limit = spool.of.material.limit_percent[report.decides];
    const std::string sentence = spool.of.material.id + ", " +
                                 std::string(limit_name(report.decides)) + " limit " +
                                 percent_text(spool.of.limits[report.decides]) + ": " +
                                 limit.source + " (" + limit.status + ").";
    if (out.find(sentence) == out.npos) out += (out.empty() ? "" : " ") + sentence;
  }
  return html_sentence("p", out);
}

// The rules that the numbers come from, as a digest.
std::string rules_words(const Report& report) {
  std::string out;
  if (!report.stamp) return out;
  for (const SpoolStamp& s : report.stamp->spools) {
    const std::string digest = s.digest.rules.substr(0, 8);
    if (out.find(digest) == out.npos) out += (out.empty() ? "" : " ") + digest;
  }
  return out.empty() ? out : ", rules " + out;
}

std::string signature(const Report& report) {
  return "<div class=\"sign\">" + html_text("span", "checked by") +
         html_text("span", "date, time") + html_text("span", "signature") + "</div>\n" +
         "<footer>" + sources(report) +
         html_text("p", "drydepth " + report.version + rules_words(report) + ", " +
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
  const bool one = report.spools.size() == 1;
  std::string body = one ? "<main>\n" : "<main class=\"many\">\n";
  body += header(report, zone);
  if (!report.spools.empty()) {
    const SpoolReport& shown = critical_spool(report);
    body += verdicts(report, shown, zone) + feed_table(report, shown, zone) +
            figures(report, shown, zone);
    if (!one) body += spool_table(report, zone);
  }
  body += "<div class=\"pair\">\n<section>\n" + job_facts(report);
  if (one) body += edit_table(report, zone);
  body += "</section>\n<section>\n";
  body +=
      one ? spool_facts(report, report.spools.front(), zone) : edit_table(report, zone);
  body += "</section>\n</div>\n" + trust(report) + signature(report) + "</main>\n";
  return html_page("Job sheet: " + report.job_file, body);
}

}  // namespace drydepth
