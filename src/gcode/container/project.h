#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "base/files.h"
#include "base/result.h"

namespace drydepth {

/// A sliced project (.gcode.3mf): a zip file that holds the job of each plate.
struct Plate {
  int number = 0;
  std::string entry;  ///< "Metadata/plate_1.gcode"
};

/// The plates that hold a job, by number. Error (exit 65) for a broken zip file, exit
/// 66 where it cannot be read.
Result<std::vector<Plate>> list_plates(const std::filesystem::path& path);

/// The job of a plate, unpacked anew at each read.
ByteSource plate_source(const std::filesystem::path& path, const std::string& entry);

/// Writes the project anew with another job for a plate and its digest where there is
/// one; all else stays. Needs memory for the packed file and the job. Errors as
/// AtomicFile, and as list_plates.
Result<Done> write_plate(const std::filesystem::path& path, const std::string& entry,
                         std::string_view job);

}  // namespace drydepth
