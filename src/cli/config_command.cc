#include <algorithm>
#include <memory>

#include "app/request/folders.h"
#include "app/request/settings.h"
#include "app/request/settings_file.h"
#include "base/exit_code.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "base/nearest.h"
#include "base/numbers.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/print.h"

namespace drydepth {
namespace {

struct ConfigWords {
  std::string action = "show";
  bool json = false;
};

struct Shown {
  std::string name;
  Origin origin;
};

std::string variable_of(const std::string& name) {
  std::string out = "DRYDEPTH_";
  for (const char c : name) out += static_cast<char>(c - 'a' + 'A');
  return out;
}

// What a command without options would use. Folders and the printer are no words of the
// settings file.
std::vector<Shown> shown_settings(const Config& config, const World& world) {
  std::vector<Shown> out;
  for (const std::string& name : setting_names()) {
    const std::string variable = variable_of(name);
    const std::string set = environment(world.caller, variable);
    out.push_back(
        {name, set.empty() ? settle(name, "", config) : Origin{set, variable}});
  }
  const auto folder = [&](const char* name, const std::string& fallback) {
    const std::string variable = variable_of(name);
    const std::string set = environment(world.caller, variable);
    out.push_back(
        {name, set.empty() ? Origin{fallback, "built-in"} : Origin{set, variable}});
  };
  folder("shelf", shelf_folder(SharedWords{}, world.caller).string());
  folder("rules", "");
  folder("printer", "");
  return out;
}

Json config_json(const Config& config, const std::vector<Shown>& settings) {
  Json out;
  out["file"] = config.file;
  out["exists"] = config.exists;
  for (const Shown& s : settings) {
    out["settings"][s.name] = {{"value", s.origin.value}, {"from", s.origin.place}};
  }
  out["printers"] = Json::object();
  for (const auto& [name, printer] : config.printers) {
    out["printers"][name] = {{"firmware", printer.firmware},
                             {"purge", printer.purge},
                             {"purge_mm", number_json(printer.purge_mm)},
                             {"attended", printer.attended}};
  }
  out["dryers"] = Json::object();
  for (const auto& [name, points] : config.dryers) {
    Json list = Json::array();
    for (const DryerPoint& p : points) {
      list.push_back(
          {{"set_c", number_json(p.set_c)}, {"measured_c", number_json(p.measured_c)}});
      if (!p.position.empty()) list.back()["position"] = p.position;
    }
    out["dryers"][name] = {{"measured", list}};
  }
  return out;
}

std::string config_text(const Config& config, const std::vector<Shown>& settings) {
  std::size_t names = 0;
  for (const Shown& s : settings) names = std::max(names, s.name.size());
  std::string out = shown(config.file) + (config.exists ? "\n" : " (not there)\n");
  for (const Shown& s : settings) {
    const std::string value = s.origin.value.empty() ? "-" : s.origin.value;
    out += s.name + std::string(names + 2 - s.name.size(), ' ') + value + "  (" +
           s.origin.place + ")\n";
  }
  for (const auto& [name, printer] : config.printers) {
    out += "printer " + name + ":";
    if (!printer.firmware.empty()) out += " firmware " + printer.firmware;
    if (!printer.purge.empty()) out += " purge \"" + printer.purge + "\"";
    if (printer.purge_mm > 0) {
      out += " purge allowance " + format_shortest(printer.purge_mm) + " mm";
    }
    if (!printer.attended.empty()) out += " attended " + printer.attended;
    out += "\n";
  }
  for (const auto& [name, points] : config.dryers) {
    out += "dryer " + name + ":";
    for (const DryerPoint& p : points) {
      out += " set " + format_shortest(p.set_c) + " C, measured " +
             format_shortest(p.measured_c) + " C" +
             (p.position.empty() ? "" : " at " + p.position) +
             (&p == &points.back() ? "" : ";");
    }
    out += "\n";
  }
  return out;
}

Result<std::string> answer_config(const ConfigWords& words, const World& world) {
  const std::vector<std::string> actions{"show"};
  if (words.action != "show") {
    return Error{"config", "unknown word \"" + words.action + "\"",
                 did_you_mean(words.action, actions), kExitUsage};
  }
  const auto config = load_config(world.caller);
  if (!config) return config.error();
  const std::vector<Shown> settings = shown_settings(*config, world);
  return words.json ? pretty_json(config_json(*config, settings))
                    : config_text(*config, settings);
}

}  // namespace

CommandRun config_command(Command& app, const World& world) {
  auto words = std::make_shared<ConfigWords>();
  app.add_option("WORD", words->action,
                 "show: every setting, and where its value comes from")
      .capture_default_str();
  app.add_flag("--json", words->json, "Print it as JSON");
  return [words, &world] {
    const auto text = answer_config(*words, world);
    if (!text) return complain(world, text.error());
    print(world, *text);
    return 0;
  };
}

}  // namespace drydepth
