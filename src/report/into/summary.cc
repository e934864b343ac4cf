#include "report/into/summary.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "base/json_value.h"
#include "base/markup.h"
#include "base/numbers.h"
#include "report/json.h"
#include "report/words.h"

namespace drydepth {
namespace {

using Cells = std::vector<std::string>;

std::string verdict_words(Verdict verdict) {
  switch (verdict) {
    case Verdict::kStaysDry:
      return "estimated to stay below the limit to its end";
    case Verdict::kMayCross:
      return "may pass the limit";
    case Verdict::kWillCross:
      return "expected to pass the limit";
    case Verdict::kCannotTell:
      break;
  }
  return "the record says too little to tell";
}

// "0.50 % (cosmetic)".
std::string limit_text(const Report& report, const SpoolReport& spool) {
  return percent_text(spool.of.limits[report.decides]) + " (" +
         std::string(limit_name(report.decides)) + ")";
}

std::string tool_text(const SpoolReport& spool) {
  return "T" + std::to_string(spool.tool) + " from " + spool.of.record.id;
}

Cells feed_header(const Report& report, const SpoolReport& spool) {
  Cells out{tool_text(spool) + ", feed", "verdict",
            "chance above " + limit_text(report, spool)};
  if (report.nominal)
    out.push_back("first above");
  else
    out.insert(out.end(), {"early (p10)", "middle (p50)", "late (p90)"});
  return out;
}

std::vector<Cells> feed_rows(const Report& report, const SpoolReport& spool,
                             const LocalZone& zone) {
  std::vector<Cells> out;
  for (const FeedReport& feed : report.feeds) {
    if (feed.tool != spool.tool) continue;
    const Crossings& crossing = feed.crossing[report.decides];
    const bool told = feed.verdict != Verdict::kCannotTell;
    Cells row{std::string(feed_name(feed.feed())) + (feed.in_use ? " (in use)" : ""),
              std::string(verdict_name(feed.verdict)),
              told ? share_text(feed.race.limits[report.decides].share_above) : "-"};
    for (std::size_t k = 0; k < crossing.size(); ++k) {
      if (report.nominal && k != 1) continue;
      row.push_back(told ? crossing_text(report, crossing[k], zone) : "-");
    }
    out.push_back(std::move(row));
  }
  return out;
}

// What stands below the tables, a sentence or a few each.
std::vector<std::string> below(const Report& report, const LocalZone& zone) {
  std::vector<std::string> out{"Of " + report.job_file +
                               ": where filament above the limit first reaches the "
                               "nozzle, in grams printed, job layer L and clock."};
  for (const SpoolReport& spool : report.spools) {
    std::string text = "Spool ";
    for (const std::string& sentence : spool_sentences(report, spool, zone)) {
      text += (text == "Spool " ? "" : "; ") + sentence;
    }
    out.push_back(text + ".");
  }
  for (const std::string& tool : report.unwatched)
    out.push_back(tool + " not watched.");
  for (const std::string& sentence : edit_sentences(report)) out.push_back(sentence);
  for (const std::string& sentence : report.advice) {
    out.push_back("Advice: " + sentence);
  }
  std::string cautions;
  for (const std::string& sentence : report.cautions) cautions += " " + sentence;
  out.push_back("Caution:" + cautions);
  return out;
}

std::string markdown_row(const Cells& cells) {
  std::string out = "|";
  for (const std::string& cell : cells) out += " " + markdown_escaped(cell) + " |";
  return out;
}

// Characters beyond ASCII as references, so that the page's own encoding is no matter.
// The text is UTF-8 and well formed.
std::string ascii_html(std::string_view text) {
  std::string out;
  for (std::size_t k = 0; k < text.size();) {
    const auto first = static_cast<std::uint8_t>(text[k]);
    if (first < 0x80) {
      out += text[k++];
      continue;
    }
    const std::size_t more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
    std::uint32_t code = first & (0x3FU >> more);
    for (std::size_t j = 1; j <= more; ++j) {
      code = code << 6U | (static_cast<std::uint8_t>(text[k + j]) & 0x3FU);
    }
    out += "&#" + std::to_string(code) + ";";
    k += more + 1;
  }
  return out;
}

std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    out.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

Json picked(const Json& from, std::initializer_list<const char*> keys) {
  Json out = Json::object();
  for (const char* key : keys) out[key] = from.at(key);
  return out;
}

// The feed in use, of any tool, with the greatest chance; null where none is watched.
const FeedReport* gravest_feed(const Report& report) {
  const FeedReport* out = nullptr;
  for (const FeedReport& feed : report.feeds) {
    if (!feed.in_use) continue;
    const auto weight = [&](const FeedReport& f) {
      return f.verdict == Verdict::kCannotTell
                 ? 2.0
                 : f.race.limits[report.decides].share_above;
    };
    if (out == nullptr || weight(feed) > weight(*out)) out = &feed;
  }
  return out;
}

std::string tenth_grams(double kg) { return format_fixed(kg * 1000.0, 1); }

// Without a class, a style or a wrapper: the host's page decides how it looks.
std::string bare_table(std::string_view caption, const Cells& header,
                       const std::vector<Cells>& rows) {
  std::string out = "<table>\n" + html_text("caption", caption) + "<thead><tr>\n";
  for (const std::string& cell : header) out += html_text("th scope=\"col\"", cell);
  out += "</tr></thead>\n<tbody>\n";
  for (const Cells& row : rows) {
    out += "<tr>";
    for (std::size_t k = 0; k < row.size(); ++k) {
      out += html_text(k == 0 ? "th scope=\"row\"" : "td", row[k]);
    }
    out += "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

}  // namespace

std::string markdown_escaped(std::string_view text) {
  std::string marked;
  for (const char c : text) {
    if (std::string_view("\\`*_[]|~$").find(c) != std::string_view::npos)
      marked += '\\';
    marked += c == '\n' || c == '\r' ? ' ' : c;
  }
  std::string out = xml_escaped(marked);
  // In running text quotes mean nothing, and the source stays readable.
  for (const auto& [reference, plain] :
       {std::pair<std::string_view, char>{"&#39;", '\''}, {"&quot;", '"'}}) {
    for (std::size_t at = 0; (at = out.find(reference, at)) != std::string::npos;
         ++at) {
      out.replace(at, reference.size(), 1, plain);
    }
  }
  return out;
}

std::string verdict_sentence(const Report& report, const SpoolReport& spool,
                             const FeedReport& feed, const LocalZone& zone) {
  const Crossings& crossing = feed.crossing[report.decides];
  std::string out = tool_text(spool) + ", feed " + std::string(feed_name(feed.feed())) +
                    ": " + std::string(verdict_name(feed.verdict)) + ", " +
                    verdict_words(feed.verdict) + ".";
  if (feed.verdict == Verdict::kCannotTell) return out;
  out += " Chance to pass " + limit_text(report, spool) + " anywhere in the job: " +
         share_text(feed.race.limits[report.decides].share_above) + ".";
  if (!crossing[0]) return out;
  out += " First above it: ";
  if (report.nominal) return out + crossing_text(report, crossing[1], zone) + ".";
  return out + "early " + crossing_text(report, crossing[0], zone) + ", middle " +
         crossing_text(report, crossing[1], zone) + ", late " +
         crossing_text(report, crossing[2], zone) + ".";
}

std::vector<std::string> edit_sentences(const Report& report) {
  std::vector<std::string> out;
  const std::string lead = report.edits_written ? "Written into the job, line "
                                                : "Planned, not written, line ";
  out.push_back(lead + std::to_string(report.job->header_line) +
                ", note: these findings.");
  for (const PlannedEdit& e : report.edits) {
    out.push_back(lead + std::to_string(e.edit.line) + ", " + e.edit.action + ": " +
                  e.text + " (" + e.reason + ").");
  }
  return out;
}

std::vector<std::string> summary_markdown(const Report& report, const LocalZone& zone) {
  std::vector<std::string> out{""};
  for (const SpoolReport& spool : report.spools) {
    const Cells header = feed_header(report, spool);
    out.push_back(markdown_row(header));
    out.push_back("|");
    for (std::size_t k = 0; k < header.size(); ++k) {
      out.back() += k == 2 ? " ---: |" : " --- |";
    }
    for (const Cells& row : feed_rows(report, spool, zone)) {
      out.push_back(markdown_row(row));
    }
    out.push_back("");
  }
  for (const std::string& sentence : below(report, zone)) {
    out.push_back("- " + markdown_escaped(sentence));
  }
  out.push_back("");
  return out;
}

std::vector<std::string> summary_html(const Report& report, const LocalZone& zone) {
  std::string out;
  for (const SpoolReport& spool : report.spools) {
    out += bare_table("Moisture of the filament, an estimate",
                      feed_header(report, spool), feed_rows(report, spool, zone));
  }
  out += html_list(below(report, zone));
  return lines_of(ascii_html(out));
}

Json summary_json(const Report& report) {
  const Json whole = report_json(report);
  Json out = picked(whole, {"format", "version", "at", "members", "nominal", "limit"});
  out["job"] = picked(whole.at("job"), {"file", "duration_s", "layers"});
  out["spools"] = Json::array();
  for (const Json& spool : whole.at("spools")) {
    out["spools"].push_back(
        picked(spool, {"tool", "id", "material", "body", "left_g", "needed_g", "told",
                       "mean_percent", "dry_depth", "valid_until"}));
  }
  out["unwatched"] = whole.at("unwatched");
  out["feeds"] = Json::array();
  for (const Json& feed : whole.at("feeds")) {
    out["feeds"].push_back(picked(
        feed, {"tool", "feed", "in_use", "air", "verdict", "share_above", "crossing"}));
  }
  out["edits_written"] = report.edits_written;
  out["edits"] = whole.at("edits");
  out["advice"] = whole.at("advice");
  out["cautions"] = whole.at("cautions");
  return out;
}

std::vector<CsvField> summary_fields(const Report& report, const LocalZone& zone) {
  std::vector<CsvField> out;
  const auto add = [&](const char* name, const std::string& value, bool number) {
    out.push_back({"drydepth_" + std::string(name), value, number});
  };
  const FeedReport* feed = gravest_feed(report);
  const auto spool =
      std::find_if(report.spools.begin(), report.spools.end(),
                   [&](const SpoolReport& s) { return feed && s.tool == feed->tool; });
  const bool watched = spool != report.spools.end();
  const bool told = watched && feed->verdict != Verdict::kCannotTell;
  const Crossings at = watched ? feed->crossing[report.decides] : Crossings{};
  const auto number = [&](double value, int decimals) {
    return told ? format_fixed(value, decimals) : std::string();
  };
  const auto crossing = [&](std::size_t k) -> std::string {
    if (!told || (report.nominal && k != 1)) return "";
    return at[k] ? tenth_grams(at[k]->mass_kg) : "never";
  };
  add("as_of", moment_text(report.at, zone), false);
  add("spool", watched ? spool->of.record.id : "", false);
  add("feed", watched ? std::string(feed_name(feed->feed())) : "", false);
  add("verdict", watched ? std::string(verdict_name(feed->verdict)) : "not watched",
      false);
  add("chance_percent",
      number(watched ? 100.0 * feed->race.limits[report.decides].share_above : 0, 0),
      true);
  add("limit_percent",
      number(watched ? spool->of.limits[report.decides] * 100.0 : 0, 2), true);
  add("crossing_p10_g", crossing(0), true);
  add("crossing_p50_g", crossing(1), true);
  add("crossing_p90_g", crossing(2), true);
  const auto& early = at[report.nominal ? 1 : 0];
  add("crossing_clock",
      told && early
          ? moment_text(report.at + Seconds(std::llround(early->place.time_s)), zone)
          : "",
      false);
  const Percentiles depth =
      watched ? spool->now.depth_kg[report.decides] : Percentiles{};
  add("dry_depth_p10_g", report.nominal ? "" : number(depth.p10 * 1000.0, 1), true);
  add("dry_depth_p50_g", number(depth.p50 * 1000.0, 1), true);
  const auto until = told ? valid_until(report, *spool) : std::nullopt;
  add("valid_until", until ? moment_text(*until, zone) : "", false);
  return out;
}

}  // namespace drydepth
