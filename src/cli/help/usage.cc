#include "cli/help/usage.h"

#include <algorithm>

#include "base/exit_code.h"
#include "base/nearest.h"
#include "cli/help/command_tree.h"

namespace drydepth {
namespace {

void add_names(const CLI::App& app, std::vector<std::string>& out) {
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) out.push_back("--" + name);
  }
}

bool is_option(const std::string& word) {
  return word.size() > 1 && word[0] == '-' && word != "--";
}

std::string help_of(const CLI::App* command) {
  return "run drydepth " + (command == nullptr ? "" : command->get_name() + " ") +
         "--help";
}

Error unknown_option(const CLI::App& program, const CLI::App* command,
                     const std::string& typed) {
  std::vector<std::string> known;
  if (command != nullptr) add_names(*command, known);
  add_names(program, known);
  const std::string option = typed.substr(0, typed.find('='));
  const auto nearest = nearest_word(option, known);
  return Error{command == nullptr ? "" : command->get_name(),
               "unknown option \"" + option + "\"",
               (nearest ? "did you mean " + *nearest + "? Else " : std::string()) +
                   help_of(command),
               kExitUsage};
}

// A sentence of CLI11's without the capital that would stand in the middle of ours.
std::string lower_start(std::string what) {
  const bool is_name = what.size() > 1 && what[1] >= 'A' && what[1] <= 'Z';
  if (!what.empty() && !is_name && what[0] >= 'A' && what[0] <= 'Z') {
    what[0] = static_cast<char>(what[0] - 'A' + 'a');
  }
  return what;
}

}  // namespace

Error usage_error(const CLI::App& program, const CLI::Error& error) {
  const auto parsed = program.get_subcommands();
  const CLI::App* command = parsed.empty() ? nullptr : parsed.front();
  const std::string where = command == nullptr ? "" : command->get_name();
  const std::vector<std::string> extra = program.remaining(true);
  const auto typed = std::find_if(extra.begin(), extra.end(), is_option);
  if (typed != extra.end()) return unknown_option(program, command, *typed);
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !extra.empty()) {
    return Error{where, "does not know what to do with \"" + extra.front() + "\"",
                 "remove it, or " + help_of(command), kExitUsage};
  }
  return Error{where, lower_start(error.what()), help_of(command), kExitUsage};
}

std::optional<Error> wrong_start(const CLI::App& program,
                                 std::span<const std::string> words) {
  const CommandFacts facts = command_facts(program);
  for (std::size_t k = 0; k < words.size(); ++k) {
    if (is_option(words[k])) {
      const std::string name = words[k].substr(0, words[k].find('='));
      const auto known = std::find_if(
          facts.options.begin(), facts.options.end(), [&](const OptionFacts& o) {
            return std::find(o.names.begin(), o.names.end(), name) != o.names.end();
          });
      if (known == facts.options.end()) return unknown_option(program, nullptr, name);
      if (!known->value.empty() && name == words[k]) ++k;
      continue;
    }
    if (words[k].empty() || find_command(facts, words[k])) return std::nullopt;
    std::vector<std::string> names;
    for (const CommandFacts& c : facts.commands) names.push_back(c.name);
    return Error{"", "unknown command \"" + words[k] + "\"",
                 did_you_mean(words[k], names), kExitUsage};
  }
  return std::nullopt;
}

}  // namespace drydepth
