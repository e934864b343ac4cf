#include "report/into/host.h"

#include <array>
#include <span>
#include <utility>
#include <vector>

#include "base/exit_code.h"
#include "base/json_value.h"
#include "base/nearest.h"
#include "report/into/csv_fields.h"
#include "report/into/json_member.h"
#include "report/into/marked_block.h"
#include "report/into/summary.h"

namespace drydepth {
namespace {

constexpr std::array<std::pair<std::string_view, HostFormat>, 4> kWords = {
    {{"markdown", HostFormat::kMarkdown},
     {"html", HostFormat::kHtml},
     {"json", HostFormat::kJson},
     {"csv", HostFormat::kCsv}}};

constexpr std::array<std::pair<std::string_view, HostFormat>, 8> kEndings = {
    {{".md", HostFormat::kMarkdown},
     {".markdown", HostFormat::kMarkdown},
     {".html", HostFormat::kHtml},
     {".htm", HostFormat::kHtml},
     {".xhtml", HostFormat::kHtml},
     {".json", HostFormat::kJson},
     {".csv", HostFormat::kCsv},
     {".tsv", HostFormat::kCsv}}};

std::string lower_case(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

}  // namespace

Result<HostFormat> host_format(const std::string& file, const std::string& word) {
  for (const auto& [name, format] : kWords) {
    if (word == name) return format;
  }
  if (!word.empty()) {
    std::vector<std::string> known;
    for (const auto& [name, format] : kWords) known.emplace_back(name);
    return Error{"--into-format", "unknown format \"" + word + "\"",
                 did_you_mean(word, known), kExitUsage};
  }
  const std::string name = lower_case(file);
  for (const auto& [ending, format] : kEndings) {
    if (name.ends_with(ending)) return format;
  }
  return Error{"--into", "the name \"" + file + "\" does not say what format it has",
               "add --into-format markdown, html, json or csv", kExitUsage};
}

Result<std::string> put_summary(const Host& host, const Report& report,
                                const LocalZone& zone) {
  switch (host.format) {
    case HostFormat::kMarkdown:
      return put_marked_block(host.text, host.file, Markup::kMarkdown,
                              summary_markdown(report, zone));
    case HostFormat::kHtml:
      return put_marked_block(host.text, host.file, Markup::kHtml,
                              summary_html(report, zone));
    case HostFormat::kJson:
      return put_json_member(host.text, host.file, "drydepth", summary_json(report));
    case HostFormat::kCsv:
      break;
  }
  return put_csv_fields(host.text, host.file, report.job_file, host.row,
                        summary_fields(report, zone));
}

}  // namespace drydepth
