#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <csignal>
#include <exception>
#include <iostream>
#include <vector>

#include "base/exit_code.h"
#include "base/result.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/help/usage.h"
#include "cli/print.h"
#include "cli/terminal.h"

extern char** environ;

namespace {

using drydepth::CommandRun;
using drydepth::World;

struct Row {
  const char* name;
  const char* summary;
  CommandRun (*declare)(drydepth::Command&, const World&);
};

// In the order in which a spool meets them.
constexpr Row kCommands[] = {
    {"guard", "Check a sliced job against its spool and write warnings into it",
     drydepth::guard_command},
    {"plan", "What it takes to get jobs through: feed, hours of drying, latest start",
     drydepth::plan_command},
    {"sheet", "The job sheet: a page to print, sign and hang beside the printer",
     drydepth::sheet_command},
    {"label", "A label for a spool: what is left, how deep, until when, and a code",
     drydepth::label_command},
    {"estimate", "Moisture of a spool by wound layer, and how sure that is",
     drydepth::estimate_command},
    {"new", "Start the record of a spool", drydepth::new_command},
    {"log", "Add a weighing, drying, storage, print or test to a record",
     drydepth::log_command},
    {"undo", "Take an event out of a record; its history keeps it",
     drydepth::undo_command},
    {"show", "A spool's record and its events", drydepth::show_command},
    {"shelf", "The spools at hand and how they stand", drydepth::shelf_command},
    {"mount", "Say which spool hangs on which tool", drydepth::mount_command},
    {"last", "The last report of guard again", drydepth::last_command},
    {"verify", "Say whether a guarded job is still what was checked",
     drydepth::verify_command},
    {"restore", "Take all edits out of a job, byte for byte",
     drydepth::restore_command},
    {"coupon", "Two printed lengths: shrink, offset, and what the offset suggests",
     drydepth::coupon_command},
    {"rules", "Materials and bodies with the sources of their numbers",
     drydepth::rules_command},
    {"config", "Where the settings come from", drydepth::config_command},
    {"help", "This help, as a manual page or for a shell's completion too",
     drydepth::help_command},
};

std::map<std::string, std::string> read_environment() {
  std::map<std::string, std::string> out;
  for (char** entry = environ; *entry; ++entry) {
    const std::string text(*entry);
    const std::size_t equals = text.find('=');
    if (equals != std::string::npos)
      out[text.substr(0, equals)] = text.substr(equals + 1);
  }
  return out;
}

bool ask_at_terminal(const std::string& question) {
  std::cerr << "drydepth: " << drydepth::shown(question) << " [y/N] " << std::flush;
  std::string answer;
  std::getline(std::cin, answer);
  return answer == "y" || answer == "yes";
}

int run(int argc, char** argv) {
  // A file-size limit then comes back from write() and the job stays as it was.
  std::signal(SIGXFSZ, SIG_IGN);
  const auto now =
      std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
  World world{{DRYDEPTH_VERSION, now, drydepth::system_zone(), read_environment()},
              std::cout,
              std::cerr};
  if (::isatty(STDIN_FILENO) && ::isatty(STDERR_FILENO)) world.ask = ask_at_terminal;
  const drydepth::Terminals terminals{.out = ::isatty(STDOUT_FILENO) != 0,
                                      .talk = ::isatty(STDERR_FILENO) != 0};
  world.live_talk = drydepth::live_talk(terminals, world.caller.environment);
  CLI::App app{
      "How deep is the spool dry, and where would the job cross into wet wraps?"};
  app.name("drydepth");
  app.set_version_flag("--version", std::string("drydepth ") + DRYDEPTH_VERSION);
  std::string color = "auto";
  app.add_option("--color", color,
                 "Headings in bold: auto (on a terminal), always or never")
      ->capture_default_str()
      ->type_name("WHEN");
  app.require_subcommand(1);
  app.failure_message([](const CLI::App* program, const CLI::Error& e) {
    return "drydepth: " + drydepth::usage_error(*program, e).text() + "\n";
  });
  std::vector<std::pair<CLI::App*, CommandRun>> commands;
  for (const Row& c : kCommands) {
    CLI::App* sub = app.add_subcommand(c.name, c.summary)->fallthrough();
    drydepth::Command command(*sub);
    commands.emplace_back(sub, c.declare(command, world));
  }
  const std::vector<std::string> words(argv + std::min(argc, 1), argv + argc);
  if (const auto error = drydepth::wrong_start(app, words)) {
    return drydepth::complain(world, *error);
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    return app.exit(e) == 0 ? drydepth::kExitDone : drydepth::kExitUsage;
  }
  const auto bold = drydepth::bold_wanted(color, terminals, world.caller.environment);
  if (!bold) return drydepth::complain(world, bold.error());
  world.bold = *bold;
  for (const auto& [sub, command] : commands) {
    if (sub->parsed()) return command();
  }
  return drydepth::kExitUsage;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& e) {
    std::cerr << "drydepth: our own mistake: " << drydepth::shown(e.what())
              << "; please report it with the command that you ran\n";
    return drydepth::kExitSoftware;
  }
}
