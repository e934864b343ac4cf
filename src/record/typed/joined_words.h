#pragma once

#include <span>
#include <string>
#include <vector>

namespace drydepth {

/// Words of a log line as a tired person types them, brought together: a number and its
/// unit ("1224 g" is "1224g"), a temperature and a humidity ("23C 45%" is "23C/45%").
/// The first word, the kind of the event, stays alone.
std::vector<std::string> joined_words(std::span<const std::string> words);

}  // namespace drydepth
