#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace drydepth {

/// A rule file before it is understood: its path below the rules folder, the name that
/// errors call it by, and its text.
struct RuleText {
  std::string path;
  std::string name;
  std::string text;
};

/// All *.json files below a folder, sorted by path; schemas are left out. Error when
/// the folder does not exist or a file cannot be read.
Result<std::vector<RuleText>> read_overlay(const std::filesystem::path& folder);

/// The embedded rule files whose path starts with a prefix, then those of the overlay;
/// schemas are left out.
std::vector<RuleText> rule_texts(std::string_view prefix,
                                 const std::vector<RuleText>& overlay);

}  // namespace drydepth
