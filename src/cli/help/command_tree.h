#pragma once

#include <CLI/App.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// An option or a word of a command, as --help knows it.
struct OptionFacts {
  std::vector<std::string> names{};  ///< "-h", "--help"; of a word its name, "SPOOL"
  std::string value{};               ///< what it takes, "TIME"; empty for a flag
  std::string standing{};            ///< what stands where it is not given
  std::string variable{};            ///< of the environment
  std::string help{};
  bool positional = false, required = false, repeated = false;

  const std::string& name() const { return names.back(); }
};

struct CommandFacts {
  std::string name{};
  std::string summary{};
  std::vector<OptionFacts> options{};  ///< words too, in the order of their places
  std::vector<CommandFacts> commands{};
};

/// The one source of --help, the manual and completion, read off the parser. What is
/// hidden there (an empty group) is hidden here.
CommandFacts command_facts(const CLI::App& app);

/// The command of that name; null where there is none.
const CommandFacts* find_command(const CommandFacts& program, std::string_view name);

}  // namespace drydepth
