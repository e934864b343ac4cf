#pragma once

#include <filesystem>
#include <string_view>

namespace drydepth {

/// How the temporary files beside a target begin: this, the writer's process id, a dash
/// and a count.
constexpr std::string_view kTemporaryPrefix = ".drydepth-";

/// Takes away what killed writers left in a folder: temporary files of our naming whose
/// writer no longer runs here and that nobody has touched for a minute (a writer on
/// another machine of a shared folder is not seen, but it goes on writing), or for a
/// day (process ids come round again). Call with the folder's lock held. What cannot be
/// taken away stays; it does no harm.
void remove_stale_temporaries(const std::filesystem::path& folder,
                              std::filesystem::file_time_type now);

}  // namespace drydepth
