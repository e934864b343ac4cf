#include "cli/help/command_tree.h"

namespace drydepth {
namespace {

// CLI11 shows what a value must be behind a colon: "N:INT in [32 - 4096]".
std::string first_part(const std::string& type) {
  return type.substr(0, type.find(':'));
}

OptionFacts option_facts(const CLI::Option& option) {
  OptionFacts out{.standing = option.get_default_str(),
                  .variable = option.get_envname(),
                  .help = option.get_description(),
                  .positional = option.get_positional(),
                  .required = option.get_required(),
                  .repeated = option.get_items_expected_max() > 1};
  if (out.positional) {
    out.names = {option.get_name(true)};
    out.value = out.names.front();
    return out;
  }
  for (const std::string& name : option.get_snames()) out.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) out.names.push_back("--" + name);
  if (option.get_items_expected_max() > 0)
    out.value = first_part(option.get_type_name());
  return out;
}

}  // namespace

CommandFacts command_facts(const CLI::App& app) {
  CommandFacts out{.name = app.get_name(), .summary = app.get_description()};
  const auto shown = [](const CLI::Option* o) { return !o->get_group().empty(); };
  for (const CLI::Option* option : app.get_options(shown)) {
    out.options.push_back(option_facts(*option));
  }
  for (const CLI::App* command : app.get_subcommands({})) {
    out.commands.push_back(command_facts(*command));
  }
  return out;
}

const CommandFacts* find_command(const CommandFacts& program, std::string_view name) {
  for (const CommandFacts& command : program.commands) {
    if (command.name == name) return &command;
  }
  return nullptr;
}

}  // namespace drydepth
