#include "cli/help/man_page.h"

#include <array>
#include <set>

namespace drydepth {
namespace {

// Text as troff takes it: a backslash is its escape, a plain hyphen may become a
// typeset one that cannot be pasted, and a point or quote at the start of a line is a
// request.
std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else if ((c == '.' || c == '\'') && out.empty()) {
      out += std::string("\\&") + c;
    } else {
      out += c;
    }
  }
  return out;
}

std::string bold(std::string_view text) { return "\\fB" + escaped(text) + "\\fR"; }
std::string italic(std::string_view text) { return "\\fI" + escaped(text) + "\\fR"; }

// "drydepth guard [OPTIONS] JOB".
std::string synopsis(const CommandFacts& program, const CommandFacts* command) {
  std::string out = bold(program.name);
  if (command == nullptr)
    return out + " [" + italic("OPTIONS") + "] " + italic("COMMAND") + " ...\n";
  out += " " + bold(command->name) + " [" + italic("OPTIONS") + "]";
  for (const OptionFacts& o : command->options) {
    if (!o.positional) continue;
    const std::string word = italic(o.value) + (o.repeated ? " ..." : "");
    out += o.required ? " " + word : " [" + word + "]";
  }
  return out + "\n";
}

std::string option_entry(const OptionFacts& option) {
  std::string out = ".TP\n";
  for (const std::string& name : option.names) {
    if (&name != &option.names.front()) out += ", ";
    out += option.positional ? italic(name) : bold(name);
  }
  if (!option.positional && !option.value.empty()) out += " " + italic(option.value);
  out += "\n" + escaped(option.help) + ".";
  if (!option.standing.empty()) out += " Default: " + escaped(option.standing) + ".";
  if (!option.variable.empty()) out += " Variable: " + escaped(option.variable) + ".";
  return out + "\n";
}

std::string entries(const CommandFacts& facts, bool positional) {
  std::string out;
  for (const OptionFacts& o : facts.options) {
    if (o.positional == positional) out += option_entry(o);
  }
  return out;
}

std::string command_list(const CommandFacts& program) {
  std::string out = ".SH COMMANDS\n";
  for (const CommandFacts& c : program.commands) {
    out += ".TP\n.BR " + escaped(program.name) + "\\-" + escaped(c.name) + " (1)\n" +
           escaped(c.summary) + ".\n";
  }
  return out;
}

std::string variable_list(const CommandFacts& program) {
  std::set<std::string> names;
  for (const CommandFacts& c : program.commands) {
    for (const OptionFacts& o : c.options) {
      if (!o.variable.empty()) names.insert(o.variable);
    }
  }
  std::string out = ".SH ENVIRONMENT\n";
  for (const std::string& name : names) {
    std::string option = "\\-\\-";
    for (const char c : name.substr(name.find('_') + 1)) {
      option += static_cast<char>(c - 'A' + 'a');
    }
    out += ".TP\n" + bold(name) + "\nStands for \\fB" + option +
           "\\fR where that is not given.\n";
  }
  return out + ".TP\n" + bold("NO_COLOR") +
         "\nSet and not empty: no bold headings, unless \\fB\\-\\-color\\fR asks for "
         "them.\n";
}

// Exit codes as in base/exit_code.h, whose numbers from 64 on are those of sysexits.h.
std::string exit_list() {
  struct Row {
    int code;
    const char* means;
  };
  constexpr std::array<Row, 8> kRows = {
      {{0, "Done."},
       {3, "The verdict reaches \\fB\\-\\-fail\\-on\\fR; the job stays unedited."},
       {64, "Wrong use of a command or option."},
       {65, "An input says something that cannot be."},
       {66, "An input does not exist or cannot be read."},
       {70, "A mistake of the tool itself."},
       {73, "An output may not be written."},
       {74, "Writing failed."}}};
  std::string out = ".SH EXIT STATUS\n";
  for (const Row& row : kRows) {
    out += ".TP\n.B " + std::to_string(row.code) + "\n" + row.means + "\n";
  }
  return out;
}

constexpr const char* kFiles =
    ".SH FILES\n"
    ".TP\n.I $XDG_DATA_HOME/drydepth/shelf/ID.json\nA spool's record, else below "
    "~/.local/share.\n"
    ".TP\n.I $XDG_CONFIG_HOME/drydepth/config.json\nSettings, printers and dryers, "
    "else "
    "below ~/.config.\n"
    ".TP\n.I $XDG_STATE_HOME/drydepth\nThe last report, else below ~/.local/state.\n";

constexpr const char* kCaution =
    ".SH CAUTION\n"
    "Every number is an estimate with a range, not a measurement. The maker's data "
    "sheet, your employer and local rules come first.\n";

std::string upper(std::string text) {
  for (char& c : text) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
  }
  return text;
}

}  // namespace

std::string man_page(const CommandFacts& program, const CommandFacts* command,
                     const std::string& version) {
  const CommandFacts& facts = command != nullptr ? *command : program;
  const std::string name =
      program.name + (command != nullptr ? "-" + command->name : "");
  std::string out = ".\\\" Written by: " + program.name + " help --man" +
                    (command != nullptr ? " " + command->name : "") + "\n";
  out += ".TH " + escaped(upper(name)) + " 1 \"\" \"" + program.name + " " + version +
         "\" \"User Commands\"\n";
  out += ".SH NAME\n" + escaped(name) + " \\- " + escaped(facts.summary) + "\n";
  out += ".SH SYNOPSIS\n" + synopsis(program, command);
  const std::string words = entries(facts, true);
  if (!words.empty()) out += ".SH WORDS\n" + words;
  out += ".SH OPTIONS\n" + entries(facts, false);
  if (command != nullptr) {
    return out + kCaution + ".SH SEE ALSO\n.BR " + escaped(program.name) + " (1)\n";
  }
  return out + command_list(program) + variable_list(program) + exit_list() + kFiles +
         kCaution;
}

}  // namespace drydepth
