// help: --help in its other forms, all read off the parser: the manual, completion, and
// what completion asks for.

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>

#include "app/request/folders.h"
#include "app/request/settings.h"
#include "base/exit_code.h"
#include "base/files.h"
#include "base/nearest.h"
#include "cli/commands.h"
#include "cli/help/candidates.h"
#include "cli/help/command_tree.h"
#include "cli/help/completion.h"
#include "cli/help/man_page.h"
#include "cli/print.h"
#include "record/mounts.h"
#include "record/shelf.h"

namespace drydepth {
namespace {

struct HelpWords {
  std::vector<std::string> words;
  std::string completion, folder;
  bool man = false, candidates = false;
};

std::vector<std::string> printers(const std::filesystem::path& shelf,
                                  const World& world) {
  std::vector<std::string> out;
  if (const auto config = load_config(world.caller)) {
    for (const auto& [name, printer] : config->printers) out.push_back(name);
  }
  if (const auto mounts = load_mounts(shelf)) {
    for (const Mount& mount : *mounts) {
      const bool known = std::find(out.begin(), out.end(), mount.printer) != out.end();
      if (!known && !mount.printer.empty()) out.push_back(mount.printer);
    }
  }
  return out;
}

template <class T>
std::vector<std::string> names_in(const std::vector<T>& rules, std::string T::*name) {
  std::vector<std::string> out;
  for (const T& rule : rules) out.push_back(rule.*name);
  return out;
}

// attic/rear and attic/inlet; a dryer measured where the spool stands has no places.
void add_places(const std::string& dryer, const std::vector<DryerPoint>& points,
                std::vector<std::string>& out) {
  for (const DryerPoint& point : points) {
    const std::string place = dryer + "/" + point.position;
    const bool known = std::find(out.begin(), out.end(), place) != out.end();
    if (!point.position.empty() && !known) out.push_back(place);
  }
}

// A file that cannot be read offers nothing: a sentence on it would land in the line
// that is being typed.
std::vector<std::string> names_of(NameKind kind, const SharedWords& shared,
                                  const World& world) {
  const std::filesystem::path shelf = shelf_folder(shared, world.caller);
  if (kind == NameKind::kSpool) {
    const auto ids = list_shelf(shelf);
    return ids ? *ids : std::vector<std::string>{};
  }
  if (kind == NameKind::kPrinter) return printers(shelf, world);
  if (kind == NameKind::kDryer) {
    std::vector<std::string> out;
    if (const auto config = load_config(world.caller)) {
      for (const auto& [name, points] : config->dryers) {
        out.push_back(name);
        add_places(name, points, out);
      }
    }
    return out;
  }
  const auto rules = load_rules(shared.rules);
  if (!rules) return {};
  if (kind == NameKind::kMaterial) return names_in(rules->materials, &Material::id);
  if (kind == NameKind::kBody) return names_in(rules->bodies, &Body::kind);
  return names_in(rules->dialects, &Dialect::id);
}

// --shelf and --rules as typed so far, else as the environment has them.
SharedWords shared_words(std::span<const std::string> words, const World& world) {
  SharedWords out;
  out.shelf = environment(world.caller, "DRYDEPTH_SHELF");
  out.rules = environment(world.caller, "DRYDEPTH_RULES");
  for (std::size_t k = 0; k + 1 < words.size(); ++k) {
    if (words[k] == "--shelf") out.shelf = words[k + 1];
    if (words[k] == "--rules") out.rules = words[k + 1];
  }
  return out;
}

std::string offer(const CommandFacts& program, const HelpWords& words,
                  const World& world) {
  const SharedWords shared = shared_words(words.words, world);
  return candidates_text(candidates(program, words.words, [&](NameKind kind) {
    return names_of(kind, shared, world);
  }));
}

Result<std::string> completion_script(const std::string& shell) {
  std::vector<std::string> known;
  for (const Completion& c : completions()) {
    if (c.shell == shell) return std::string(c.script);
    known.emplace_back(c.shell);
  }
  return Error{"--completion", "unknown shell \"" + shell + "\"",
               did_you_mean(shell, known), kExitUsage};
}

Result<Done> write_below(const std::filesystem::path& file, std::string_view text) {
  std::error_code ignored;  // writing says why it failed
  std::filesystem::create_directories(file.parent_path(), ignored);
  return write_whole_file(file, text);
}

// Everything that goes below share/ when the tool is installed.
Result<std::string> write_share(const CommandFacts& program,
                                const std::filesystem::path& folder,
                                const World& world) {
  std::vector<std::pair<std::filesystem::path, std::string>> files;
  const std::filesystem::path manual = folder / "man" / "man1";
  files.emplace_back(manual / (program.name + ".1"),
                     man_page(program, nullptr, world.caller.version));
  for (const CommandFacts& c : program.commands) {
    files.emplace_back(manual / (program.name + "-" + c.name + ".1"),
                       man_page(program, &c, world.caller.version));
  }
  for (const Completion& c : completions())
    files.emplace_back(folder / c.place, c.script);
  for (const auto& [file, text] : files) {
    const auto written = write_below(file, text);
    if (!written) return written.error();
  }
  return std::to_string(files.size()) + " files below " + folder.string() + "\n";
}

Result<std::string> answer_help(CLI::App& root, const HelpWords& words,
                                const World& world) {
  const CommandFacts program = command_facts(root);
  if (words.candidates) return offer(program, words, world);
  if (!words.completion.empty()) return completion_script(words.completion);
  if (!words.folder.empty()) return write_share(program, words.folder, world);
  if (words.words.empty())
    return words.man ? man_page(program, nullptr, world.caller.version) : root.help();
  const std::string& name = words.words.front();
  const CommandFacts* command = find_command(program, name);
  if (command == nullptr) {
    std::vector<std::string> known;
    for (const CommandFacts& c : program.commands) known.push_back(c.name);
    return Error{"help", "unknown command \"" + name + "\"", did_you_mean(name, known),
                 kExitUsage};
  }
  return words.man ? man_page(program, command, world.caller.version)
                   : root.get_subcommand(name)->help(program.name);
}

}  // namespace

CommandRun help_command(Command& app, const World& world) {
  auto words = std::make_shared<HelpWords>();
  app.add_option("COMMAND", words->words, "The command; left out: the whole tool");
  app.add_flag("--man", words->man, "Print the manual page, in troff's man macros");
  app.add_option("--completion", words->completion,
                 "Print the script that completes words in bash, zsh or fish")
      .type_name("SHELL");
  app.add_option("--write", words->folder,
                 "Write manual pages and completion scripts into a folder, laid out as "
                 "below share/")
      .type_name("DIR");
  app.add_flag("--candidates", words->candidates,
               "Words that may stand where the last one of these, behind --, begins")
      .hidden();
  return [words, app, &world] {
    const auto text = answer_help(*app.parser().get_parent(), *words, world);
    if (!text) return complain(world, text.error());
    print(world, *text);
    return 0;
  };
}

}  // namespace drydepth
