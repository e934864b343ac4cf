#pragma once

#include "cli/command.h"
#include "cli/world.h"

namespace drydepth {

/// One function a command: declares its options and gives what it does with them.
CommandRun guard_command(Command& app, const World& world);
CommandRun plan_command(Command& app, const World& world);
CommandRun sheet_command(Command& app, const World& world);
CommandRun label_command(Command& app, const World& world);
CommandRun estimate_command(Command& app, const World& world);
CommandRun new_command(Command& app, const World& world);
CommandRun log_command(Command& app, const World& world);
CommandRun show_command(Command& app, const World& world);
CommandRun undo_command(Command& app, const World& world);
CommandRun mount_command(Command& app, const World& world);
CommandRun shelf_command(Command& app, const World& world);
CommandRun last_command(Command& app, const World& world);
CommandRun coupon_command(Command& app, const World& world);
CommandRun config_command(Command& app, const World& world);
CommandRun rules_command(Command& app, const World& world);
CommandRun verify_command(Command& app, const World& world);
CommandRun restore_command(Command& app, const World& world);
CommandRun help_command(Command& app, const World& world);

}  // namespace drydepth
