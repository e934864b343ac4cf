#include "cli/places.h"

namespace drydepth {
namespace {

std::filesystem::path xdg_folder(const World& world, const std::string& variable,
                                 const std::filesystem::path& in_home) {
  const std::string given = environment(world, variable);
  if (!given.empty()) return std::filesystem::path(given) / "drydepth";
  const std::string home = environment(world, "HOME");
  return std::filesystem::path(home.empty() ? "." : home) / in_home / "drydepth";
}

}  // namespace

std::filesystem::path config_file(const World& world) {
  return xdg_folder(world, "XDG_CONFIG_HOME", ".config") / "config.json";
}

std::filesystem::path state_folder(const World& world) {
  return xdg_folder(world, "XDG_STATE_HOME", ".local/state");
}

std::string environment(const World& world, const std::string& name) {
  const auto found = world.environment.find(name);
  return found == world.environment.end() ? "" : found->second;
}

}  // namespace drydepth
