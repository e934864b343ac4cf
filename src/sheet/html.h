#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// Pieces of a page. Every text is escaped here and nowhere else.
std::string html_text(std::string_view element, std::string_view text);
std::string html_list(const std::vector<std::string>& items);

/// A table with a caption and a header row; the first cell of each row is its header.
std::string html_table(std::string_view caption, const std::vector<std::string>& header,
                       const std::vector<std::vector<std::string>>& rows);

/// Names and what they stand for, in two columns.
struct HtmlFact {
  std::string name;
  std::string value;
};
std::string html_facts(std::string_view caption, const std::vector<HtmlFact>& facts);

/// A picture that is already markup, with the words under it.
std::string html_figure(std::string_view svg, std::string_view caption);

/// A whole page: nothing is fetched, nothing runs (a content policy says so too), one
/// printed sheet where it fits.
std::string html_page(std::string_view title, std::string_view body);

}  // namespace drydepth
