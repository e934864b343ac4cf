#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "record/record.h"

namespace drydepth {

/// A spool that hangs on a tool of a printer.
struct Mount {
  std::string printer{};  ///< empty where there is only one and it has no name
  int tool = 0;
  std::string spool{};         ///< a SPOOL word
  std::optional<Feed> feed{};  ///< how it stands there, where that was said
  bool operator==(const Mount&) const = default;
};

/// Reads a mounts file. Error for what is no such file, and for a tool mounted twice.
Result<std::vector<Mount>> parse_mounts(std::string_view text, std::string_view file);

/// Its text, by printer and tool.
std::string mounts_text(const std::vector<Mount>& mounts);

/// The list with one more; it takes the place of what hung there, and of the same spool
/// elsewhere: a spool is in one place at a time.
std::vector<Mount> with_mount(std::vector<Mount> mounts, const Mount& mount);
std::vector<Mount> without_mount(std::vector<Mount> mounts, std::string_view printer,
                                 int tool);

/// The printer that a word names (empty: the only one with mounts, or none at all).
/// Error when several could be meant.
Result<std::string> which_printer(const std::vector<Mount>& mounts,
                                  std::string_view word);

/// What hangs where, from mounts.json in the shelf's folder; nothing without that file.
Result<std::vector<Mount>> load_mounts(const std::filesystem::path& shelf);

/// Changes mounts.json with no other process in between.
using MountsChange =
    std::function<Result<std::vector<Mount>>(const std::vector<Mount>&)>;
Result<std::vector<Mount>> update_mounts(const std::filesystem::path& shelf,
                                         const MountsChange& change);

}  // namespace drydepth
