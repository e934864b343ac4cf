#pragma once

#include <CLI/App.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"

namespace drydepth {

/// What CLI11 refuses, in our form: the command, what is wrong, where the words are.
/// An unknown option comes before anything that is missing, since the one is often the
/// reason of the other, and names the nearest one.
Error usage_error(const CLI::App& program, const CLI::Error& error);

/// What is wrong before the command, or with its name: CLI11 would only say that one is
/// missing. `words` are those behind the program's name.
std::optional<Error> wrong_start(const CLI::App& program,
                                 std::span<const std::string> words);

}  // namespace drydepth
