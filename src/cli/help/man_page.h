#pragma once

#include <string>

#include "cli/help/command_tree.h"

namespace drydepth {

/// The manual page of the program (`command` null), drydepth(1), or of one command,
/// drydepth-guard(1), in the man macros of troff.
std::string man_page(const CommandFacts& program, const CommandFacts* command,
                     const std::string& version);

}  // namespace drydepth
