#pragma once

// A block of ours in somebody else's Markdown or HTML. Its place is a comment that the
// reader of the page never sees:
//   <!-- drydepth:here -->     where a block shall come; it becomes the two below
//   <!-- drydepth:begin -->    what stands between these two is ours and is renewed
//   <!-- drydepth:end -->
// Everything else is the user's, byte for byte.

#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace drydepth {

enum class Markup { kMarkdown, kHtml };

/// The text with the lines between our two markers, written with the line ends of the
/// text and behind whatever stands before the marker on its line (blanks, in Markdown
/// also the ">" of a quotation). In Markdown only a marker that has its line to itself
/// counts, and none inside a fenced block of code; in HTML only one that is a whole
/// comment. Error (exit 65) where there is no place, or not just one.
Result<std::string> put_marked_block(std::string_view text, std::string_view file,
                                     Markup markup,
                                     const std::vector<std::string>& lines);

}  // namespace drydepth
