#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "spool/record.h"

namespace drydepth {

/// The file a SPOOL word stands for: a path when it has a slash or ends in .json, else
/// an id on the shelf, a folder of ID.json. Error when there is no such file, naming
/// the nearest ids.
Result<std::filesystem::path> find_spool(const std::filesystem::path& shelf,
                                         std::string_view word);

/// The file a new record with that id gets. Error for an id that is no plain file name,
/// or is taken.
Result<std::filesystem::path> new_spool_path(const std::filesystem::path& shelf,
                                             std::string_view id);

/// Reads one record. Errors name it by `name`, or by its file name without the folder.
Result<SpoolRecord> load_spool(const std::filesystem::path& path,
                               std::string_view name = {});

/// Replaces the file's text by the record's, whole or not at all.
Result<Done> save_spool(const std::filesystem::path& path, const SpoolRecord& record);

/// The ids on a shelf, sorted. A shelf that does not exist yet is empty.
Result<std::vector<std::string>> list_shelf(const std::filesystem::path& shelf);

}  // namespace drydepth
