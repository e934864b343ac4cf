#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace drydepth {

/// The known word that the given one was most likely meant to be, or nothing when none
/// comes close. Case and punctuation count for nothing ("PA-6" is next to "pa6"); of
/// equals the first wins.
std::optional<std::string> nearest_word(std::string_view word,
                                        std::span<const std::string> known);

/// A hint for an unknown word: `did you mean "pa6"? Known: abs, pa6`, or only the
/// second sentence; "none is known yet" for an empty list.
std::string did_you_mean(std::string_view word, std::span<const std::string> known);

/// Words with ", " between them.
std::string join_words(std::span<const std::string> words);

}  // namespace drydepth
