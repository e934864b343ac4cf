#include <algorithm>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "base/nearest.h"
#include "base/numbers.h"
#include "base/shown.h"
#include "base/wrap.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "report/words.h"
#include "rules/data_sheet.h"
#include "rules/rule_check.h"

namespace drydepth {
namespace {

struct RulesWords {
  SharedWords shared;
  std::string action, name;
  bool json = false;
};

constexpr std::size_t kColumns = 80;

std::string padded(std::string text, std::size_t width) {
  text.resize(std::max(text.size() + 1, width), ' ');
  return text;
}

std::string list_text(const Rules& rules) {
  std::string out = "materials   cosmetic  strength  drying at most\n";
  for (const Material& m : rules.materials) {
    out += padded("  " + m.id, 12) +
           padded(format_shortest(m.limit_percent.cosmetic.value) + " %", 10) +
           padded(format_shortest(m.limit_percent.strength.value) + " %", 10) +
           padded(format_shortest(m.drying_max_c.value) + " C", 7) + m.name + "\n";
  }
  out += "bodies      heat at most\n";
  for (const Body& b : rules.bodies) {
    out += padded("  " + b.kind, 12) +
           padded(format_shortest(b.heat_ceiling_c.value) + " C", 7) + b.name + "\n";
  }
  out += "firmwares\n";
  for (const Dialect& d : rules.dialects) out += "  " + d.id + "\n";
  out += "evidence\n  piece, coupon, pops, strings\n";
  return out;
}

std::string sheet_text(const std::string& heading,
                       const std::vector<SheetLine>& lines) {
  std::string out = heading + "\n";
  for (const SheetLine& line : lines) {
    out += padded(line.name, 20) +
           padded(format_shortest(line.number.value) +
                      (line.unit.empty() ? "" : " " + line.unit),
                  16) +
           padded(spread_text(line.number), 12) + line.number.status + "\n";
    for (const std::string& text : wrap_text(line.number.source, kColumns - 4)) {
      out += "    " + text + "\n";
    }
  }
  return out;
}

Json sheet_json(const std::string& id, const std::string& name,
                const std::vector<SheetLine>& lines) {
  Json out{{"id", id}, {"name", name}, {"numbers", Json::array()}};
  for (const SheetLine& line : lines) {
    Json entry{{"name", line.name},
               {"value", number_json(line.number.value)},
               {"unit", line.unit}};
    if (line.number.sd) entry["sd"] = number_json(*line.number.sd);
    if (line.number.log_sd) entry["log_sd"] = number_json(*line.number.log_sd);
    entry["status"] = line.number.status;
    entry["source"] = line.number.source;
    out["numbers"].push_back(entry);
  }
  return out;
}

Result<std::string> show_rule(const Rules& rules, const RulesWords& words) {
  std::vector<std::string> known;
  for (const Material& m : rules.materials) {
    known.push_back(m.id);
    if (m.id != words.name) continue;
    return words.json
               ? pretty_json(sheet_json(m.id, m.name, sheet_lines(m)))
               : sheet_text(m.id + ": " + m.name + " (" + m.file + ")", sheet_lines(m));
  }
  // A kind of body that is a material too is meant only as "body:abs".
  for (const Body& b : rules.bodies) {
    known.push_back("body:" + b.kind);
    if ("body:" + b.kind != words.name && b.kind != words.name) continue;
    return words.json
               ? pretty_json(sheet_json(b.kind, b.name, sheet_lines(b)))
               : sheet_text("spool body " + b.kind + ": " + b.name, sheet_lines(b));
  }
  known.push_back("evidence");
  if (words.name == "evidence") {
    const std::string name = "strength of tests of the outer wraps";
    const auto lines = sheet_lines(rules.evidence);
    return words.json ? pretty_json(sheet_json("evidence", name, lines))
                      : sheet_text("evidence: " + name, lines);
  }
  return Error{"rules", "no material or body \"" + words.name + "\"",
               did_you_mean(words.name, known), kExitUsage};
}

Result<std::string> answer_rules(const RulesWords& words) {
  const std::vector<std::string> actions{"list", "show", "check"};
  if (words.action != "list" && words.name.empty()) {
    if (words.action == "show" || words.action == "check") {
      return Error{"rules " + words.action, "it does not say of what",
                   words.action == "show" ? "write e.g. drydepth rules show pa6"
                                          : "give a rule file",
                   kExitUsage};
    }
    return Error{"rules", "unknown word \"" + words.action + "\"",
                 did_you_mean(words.action, actions), kExitUsage};
  }
  if (words.action == "check") {
    const auto text = read_whole_file(words.name);
    if (!text) return text.error();
    const auto what = check_rule_file({words.name, words.name, *text});
    if (!what) return what.error();
    return shown(words.name) + ": " + *what + ", nothing wrong found\n";
  }
  const auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  if (words.action == "list") return list_text(*rules);
  if (words.action == "show") return show_rule(*rules, words);
  return Error{"rules", "unknown word \"" + words.action + "\"",
               did_you_mean(words.action, actions), kExitUsage};
}

}  // namespace

CommandRun rules_command(Command& app, const World& world) {
  auto words = std::make_shared<RulesWords>();
  app.add_option("WORD", words->action,
                 "list: all there are | show ID: its numbers with their sources | "
                 "check FILE: read a rule file of your own")
      .required();
  app.add_option("NAME", words->name, "A material, body:KIND, evidence, or a file");
  app.add_flag("--json", words->json, "Print the data sheet as JSON");
  add_shelf_options(app, words->shared);
  return [words, &world] {
    const auto text = answer_rules(*words);
    if (!text) return complain(world, text.error());
    print(world, *text);
    return 0;
  };
}

}  // namespace drydepth
