#include "app/request/folders.h"

namespace drydepth {
namespace {

std::filesystem::path xdg_folder(const Caller& caller, const std::string& variable,
                                 const std::filesystem::path& in_home) {
  const std::string given = environment(caller, variable);
  if (!given.empty()) return std::filesystem::path(given) / "drydepth";
  const std::string home = environment(caller, "HOME");
  return std::filesystem::path(home.empty() ? "." : home) / in_home / "drydepth";
}

}  // namespace

std::filesystem::path config_file(const Caller& caller) {
  return xdg_folder(caller, "XDG_CONFIG_HOME", ".config") / "config.json";
}

std::filesystem::path state_folder(const Caller& caller) {
  return xdg_folder(caller, "XDG_STATE_HOME", ".local/state");
}

std::filesystem::path data_folder(const Caller& caller) {
  return xdg_folder(caller, "XDG_DATA_HOME", ".local/share");
}

std::string environment(const Caller& caller, const std::string& name) {
  const auto found = caller.environment.find(name);
  return found == caller.environment.end() ? "" : found->second;
}

}  // namespace drydepth
