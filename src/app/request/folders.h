#pragma once

#include <filesystem>
#include <string>

#include "app/request/caller.h"

namespace drydepth {

/// Where the tool keeps its settings and what it last said, by the XDG base directory
/// specification: $XDG_CONFIG_HOME/drydepth, else ~/.config/drydepth, and so on.
std::filesystem::path config_file(const Caller& caller);
std::filesystem::path state_folder(const Caller& caller);
std::filesystem::path data_folder(const Caller& caller);

/// A variable of the environment; empty where it is not set.
std::string environment(const Caller& caller, const std::string& name);

}  // namespace drydepth
