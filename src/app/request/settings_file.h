#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "app/request/caller.h"
#include "base/result.h"

namespace drydepth {

/// What is known of a printer by its name.
struct PrinterConfig {
  std::string firmware{};  ///< id of a dialect
  std::string purge{};     ///< the G-code line or macro that purges there
  double purge_mm = 0;     ///< what the firmware purges by itself at a change of tools
  std::string attended{};  ///< hours in which somebody is there, "08:00-18:00", local
};

/// A dryer's own scale against a thermometer in its air. The dryer's probe near the
/// inlet can read the set value while the rest of the chamber stays 10 C below (common
/// practice, no source), so it matters where the thermometer lay.
struct DryerPoint {
  double set_c = 0;
  double measured_c = 0;
  std::string position{};  ///< in the chamber; empty: where the spool stands
};

/// The settings file, `drydepth-config/1`. Values stay the words that the options take;
/// who uses one reads it, and names the file where it is wrong.
struct Config {
  std::string file{};  ///< for messages
  bool exists = false;
  std::map<std::string, std::string> words{};  ///< room, box, dryer, feed, limit
  std::map<std::string, PrinterConfig> printers{};
  std::map<std::string, std::vector<DryerPoint>> dryers{};  ///< rising in each position
};

Result<Config> parse_config(std::string_view text, std::string_view file);

/// The file of this user; an empty one where there is none.
Result<Config> load_config(const Caller& caller);

/// The air of a dryer that is set to a temperature, and where that is so.
struct DryerAir {
  double measured_c = 0;
  std::string position{};
  std::size_t positions = 0;  ///< how many are known
};

/// `dryer` is NAME or NAME/POSITION; by name alone the coldest position counts, since a
/// spool is as wet as its wettest side. Linear between points, beyond them the
/// difference of the nearest. Error for a dryer or position that the config does not
/// know.
Result<DryerAir> dryer_air(const Config& config, std::string_view dryer, double set_c);

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
