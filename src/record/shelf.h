#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "record/record.h"

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
Result<SpoolRecord> load_record(const std::filesystem::path& path,
                                std::string_view name = {});

/// The record with the series of every event whose air is a log, read from the folder
/// of the record's file (of what it links to). Error for a log that cannot be read.
Result<SpoolRecord> read_air_logs(SpoolRecord record,
                                  const std::filesystem::path& path);

/// Replaces the file's text by the record's, whole or not at all. For a record that
/// others may write too, use the two below.
Result<Done> save_record(const std::filesystem::path& path, const SpoolRecord& record);

/// Writes a new record. Error when a file stands there already.
Result<Done> create_record(const std::filesystem::path& path,
                           const SpoolRecord& record);

/// What a change makes of a record.
using SpoolChange = std::function<Result<SpoolRecord>(const SpoolRecord&)>;

/// Reads a record, changes it and writes it back, with no other process in between: an
/// event logged by one is never lost to another. When this returns without an error the
/// change is on the disk; when the process dies before, the record is as it was or
/// changed, never in between. Returns the record as written.
Result<SpoolRecord> update_record(const std::filesystem::path& path,
                                  const SpoolChange& change);

/// The ids on a shelf, sorted. A shelf that does not exist yet is empty.
Result<std::vector<std::string>> list_shelf(const std::filesystem::path& shelf);

}  // namespace drydepth
