#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// The sentence with each unit held to its number by a no-break space: "186 g".
std::string held_together(std::string_view sentence);

/// Breaks a sentence at blanks into lines of at most `columns`.
std::vector<std::string> wrap_text(std::string_view sentence, std::size_t columns);

/// Columns that a text takes in letters of one width: one a character, two for the wide
/// ones of East Asian scripts and pictures (by block; Unicode Standard Annex 11 has the
/// full list). What is no UTF-8 counts one a byte.
std::size_t columns_of(std::string_view text);

/// A sentence in lines of at most `columns`, broken at blanks, and within a word where
/// that alone is longer. Control characters are blanks. At least two columns.
std::vector<std::string> narrow_lines(std::string_view sentence, std::size_t columns);

}  // namespace drydepth
