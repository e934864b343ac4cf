#pragma once

#include <string>
#include <string_view>

namespace drydepth {

/// A text for the terminal with its headings and the words of a verdict in bold (SGR 1
/// of ECMA-48); no colours, since a verdict is said in words and by its order. The
/// bytes in between stay as they are.
std::string emphasised(std::string_view text);

/// The same for a table: its first line in bold.
std::string emphasised_table(std::string_view text);

}  // namespace drydepth
