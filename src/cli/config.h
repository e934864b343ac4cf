#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "cli/world.h"

namespace drydepth {

/// What is known of a printer by its name.
struct PrinterConfig {
  std::string firmware{};  ///< id of a dialect
  std::string purge{};     ///< the G-code line or macro that purges there
};

/// A dryer's own scale against a thermometer in its air.
struct DryerPoint {
  double set_c = 0;
  double measured_c = 0;
};

/// The settings file, `drydepth-config/1`. Values stay the words that the options take;
/// who uses one reads it, and names the file where it is wrong.
struct Config {
  std::string file{};  ///< for messages
  bool exists = false;
  std::map<std::string, std::string> words{};  ///< room, box, dryer, feed, limit
  std::map<std::string, PrinterConfig> printers{};
  std::map<std::string, std::vector<DryerPoint>> dryers{};  ///< points rise by set_c
};

Result<Config> parse_config(std::string_view text, std::string_view file);

/// The file of this user; an empty one where there is none.
Result<Config> load_config(const World& world);

/// The air of a dryer set to a temperature: linear between its points, beyond them the
/// difference of the nearest. Error for a dryer that the config does not know.
Result<double> measured_c(const Config& config, std::string_view dryer, double set_c);

/// A setting and where it comes from: an option, DRYDEPTH_ROOM, config.json /room, or
/// built-in.
struct Origin {
  std::string value{};
  std::string place{};
};

/// One of the words of the config, by rank: as typed (an option, or its variable, which
/// the command line reads alike), from the config, built in.
Origin settle(std::string_view name, const std::string& typed, const Config& config);

/// The names that settle() knows, in the order they are shown.
std::vector<std::string> setting_names();

}  // namespace drydepth
