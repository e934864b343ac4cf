#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// Bytes of the character that starts here, 0 where none does (RFC 3629, section 4).
std::size_t character_bytes(std::string_view text);

/// Text as it may stand between tags and in quoted attributes of XML and HTML: the five
/// special characters escaped; what is no UTF-8, and control characters other than tab
/// and line ends, replaced by U+FFFD, since no document may hold them.
std::string xml_escaped(std::string_view text);

/// Pieces of a page. Every text is escaped here and nowhere else.
std::string html_text(std::string_view element, std::string_view text);

/// The same of a sentence: a unit stays with its number.
std::string html_sentence(std::string_view element, std::string_view text);
std::string html_list(const std::vector<std::string>& items);

}  // namespace drydepth
