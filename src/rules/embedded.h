#pragma once

#include <string_view>
#include <vector>

namespace drydepth {

/// A rule file compiled into the binary: its path below rules/ and its whole text.
struct EmbeddedRule {
  std::string_view path;
  std::string_view text;
};

/// All rule files, sorted by path. Written at build time by embed.cmake.
std::vector<EmbeddedRule> embedded_rules();

}  // namespace drydepth
