#include "rules/rule_text.h"

#include <algorithm>
#include <system_error>

#include "base/exit_code.h"
#include "base/files.h"
#include "rules/embedded.h"

namespace drydepth {
namespace {

bool is_schema(std::string_view path) { return path.ends_with(".schema.json"); }

// A file in a misspelt place would be left out without a word.
bool has_a_reader(std::string_view path) {
  return path.starts_with("materials/") || path.starts_with("firmware/") ||
         path == "bodies.json" || path == "evidence.json" || path == "policy.json";
}

Result<std::vector<std::string>> json_paths(const std::filesystem::path& folder) {
  std::vector<std::string> paths;
  std::error_code error;
  std::filesystem::recursive_directory_iterator it(folder, error);
  const std::filesystem::recursive_directory_iterator end;
  while (!error && it != end) {
    const std::filesystem::path path = it->path().lexically_relative(folder);
    const bool is_rule = it->is_regular_file(error) && path.extension() == ".json" &&
                         !is_schema(path.generic_string());
    if (is_rule) paths.push_back(path.generic_string());
    if (!error) it.increment(error);
  }
  if (error) {
    return Error{folder.string(), "cannot list the rule folder: " + error.message(),
                 "give a folder that holds materials/ or bodies.json", kExitNoInput};
  }
  std::sort(paths.begin(), paths.end());
  return paths;
}

}  // namespace

Result<std::vector<RuleText>> read_overlay(const std::filesystem::path& folder) {
  const Result<std::vector<std::string>> paths = json_paths(folder);
  if (!paths) return paths.error();
  std::vector<RuleText> texts;
  for (const std::string& path : *paths) {
    const std::filesystem::path file = folder / path;
    if (!has_a_reader(path)) {
      return Error{file.string(), "no rule file goes by this place",
                   "put it at materials/, firmware/, bodies.json, evidence.json or "
                   "policy.json below the rule folder"};
    }
    Result<std::string> text = read_whole_file(file);
    if (!text) return text.error();
    texts.push_back({path, file.string(), *std::move(text)});
  }
  return texts;
}

std::vector<RuleText> rule_texts(std::string_view prefix,
                                 const std::vector<RuleText>& overlay) {
  std::vector<RuleText> texts;
  for (const EmbeddedRule& rule : embedded_rules()) {
    if (!rule.path.starts_with(prefix) || is_schema(rule.path)) continue;
    texts.push_back({std::string(rule.path), "rules/" + std::string(rule.path),
                     std::string(rule.text)});
  }
  for (const RuleText& text : overlay) {
    if (text.path.starts_with(prefix)) texts.push_back(text);
  }
  return texts;
}

}  // namespace drydepth
