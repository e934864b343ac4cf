#pragma once

#include <span>
#include <string_view>

namespace drydepth {

/// Where a shell's script for completion belongs below share/, and the script.
struct Completion {
  std::string_view shell;
  std::string_view place;
  std::string_view script;
};

/// For bash, zsh and fish. Each hands the words typed so far to `drydepth help
/// --candidates` and shows what comes back.
std::span<const Completion> completions();

}  // namespace drydepth
