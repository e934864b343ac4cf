#pragma once

// The summary of a job, put into a document that the shop already has.

#include <string>
#include <string_view>

#include "base/result.h"
#include "report/report.h"

namespace drydepth {

enum class HostFormat { kMarkdown, kHtml, kJson, kCsv };

/// By the word, "markdown", "html", "json" or "csv", where one is typed, else by how
/// the file's name ends. Error (exit 64) for another word or name.
Result<HostFormat> host_format(const std::string& file, const std::string& word);

/// A document as it stands.
struct Host {
  std::string file;  ///< for messages
  HostFormat format = HostFormat::kMarkdown;
  std::string text;
  std::string row{};  ///< of a table: which row, as typed; empty: the job's
};

/// The document with the summary in it: Markdown and HTML between our two markers (see
/// marked_block.h), JSON as the member "drydepth", a table in columns of ours. The same
/// report put in again changes nothing. Error (exit 65) where it has no place for it.
Result<std::string> put_summary(const Host& host, const Report& report,
                                const LocalZone& zone);

}  // namespace drydepth
