#pragma once

#include <CLI/App.hpp>

#include "cli/world.h"

namespace drydepth {

/// One function a command: declares its options and gives what it does with them.
CommandRun guard_command(CLI::App& app, const World& world);
CommandRun plan_command(CLI::App& app, const World& world);
CommandRun sheet_command(CLI::App& app, const World& world);
CommandRun label_command(CLI::App& app, const World& world);
CommandRun estimate_command(CLI::App& app, const World& world);
CommandRun new_command(CLI::App& app, const World& world);
CommandRun log_command(CLI::App& app, const World& world);
CommandRun show_command(CLI::App& app, const World& world);
CommandRun undo_command(CLI::App& app, const World& world);
CommandRun mount_command(CLI::App& app, const World& world);
CommandRun shelf_command(CLI::App& app, const World& world);
CommandRun last_command(CLI::App& app, const World& world);
CommandRun coupon_command(CLI::App& app, const World& world);
CommandRun config_command(CLI::App& app, const World& world);
CommandRun rules_command(CLI::App& app, const World& world);
CommandRun verify_command(CLI::App& app, const World& world);
CommandRun restore_command(CLI::App& app, const World& world);
CommandRun help_command(CLI::App& app, const World& world);

}  // namespace drydepth
