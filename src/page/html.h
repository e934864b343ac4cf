#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// A cell of a table. Where it shows a value of the report, `json` points to that value
/// in the JSON of the same run (RFC 6901), so that a reader, or a test, finds it.
struct HtmlCell {
  std::string text;
  std::string json{};
};

/// A table with a caption and a header row; the first cell of each row is its header.
/// Where the page is narrower than the table, the table scrolls and not the page.
std::string html_table(std::string_view caption, const std::vector<std::string>& header,
                       const std::vector<std::vector<HtmlCell>>& rows);

/// Names and what they stand for, in two columns.
struct HtmlFact {
  std::string name;
  HtmlCell value;
};
std::string html_facts(std::string_view caption, const std::vector<HtmlFact>& facts);

/// A picture that is already markup, with the words under it.
std::string html_figure(std::string_view svg, std::string_view caption);

/// A whole page: nothing is fetched, nothing runs (a content policy says so too), one
/// printed sheet where it fits.
std::string html_page(std::string_view title, std::string_view body);

}  // namespace drydepth
