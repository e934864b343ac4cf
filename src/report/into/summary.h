#pragma once

// The short form of a report for other people's documents: the verdict of each feed
// with its chance and crossings, the spool, the edits, the cautions.

#include <string>
#include <vector>

#include "base/json_text.h"
#include "report/into/csv_fields.h"
#include "report/report.h"

namespace drydepth {

/// "T0 from K-07, feed open: will-cross, expected to pass the limit. Chance ...": the
/// verdict of a feed, its chance and where the deciding limit is first passed.
std::string verdict_sentence(const Report& report, const SpoolReport& spool,
                             const FeedReport& feed, const LocalZone& zone);

/// What was written into the job, or is planned, a sentence each.
std::vector<std::string> edit_sentences(const Report& report);

/// A table a spool and a list, with no heading of their own: lines of Markdown with
/// tables as GitHub's dialect has them, a list anywhere; lines of HTML without a style
/// or a class, in ASCII.
std::vector<std::string> summary_markdown(const Report& report, const LocalZone& zone);
std::vector<std::string> summary_html(const Report& report, const LocalZone& zone);

/// A part of report_json, under the same keys.
Json summary_json(const Report& report);

/// Columns "drydepth_...", of the tool whose feed in use has the greatest chance to
/// pass the deciding limit: a table has one row a job.
std::vector<CsvField> summary_fields(const Report& report, const LocalZone& zone);

/// Text as it may stand in a line or a table's cell of Markdown: nothing in it is
/// markup, a line end is a blank.
std::string markdown_escaped(std::string_view text);

}  // namespace drydepth
