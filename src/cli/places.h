#pragma once

#include <filesystem>
#include <string>

#include "cli/world.h"

namespace drydepth {

/// Where the tool keeps its settings and what it last said, by the XDG base directory
/// specification: $XDG_CONFIG_HOME/drydepth, else ~/.config/drydepth, and so on.
std::filesystem::path config_file(const World& world);
std::filesystem::path state_folder(const World& world);

/// A variable of the environment; empty where it is not set.
std::string environment(const World& world, const std::string& name);

}  // namespace drydepth
