#pragma once

#include <string>
#include <string_view>

namespace drydepth {

/// Text of others as it may stand in a line that people see: control characters are
/// spelled out, \n, \t, or their number as in \u001b, so that none reaches a terminal
/// or breaks the line; so are those that turn the direction of writing. What is no
/// UTF-8 is spelled by its byte, \x9b.
std::string shown(std::string_view text);

/// The same of a whole text, whose own line ends and tabs stay.
std::string shown_text(std::string_view text);

}  // namespace drydepth
