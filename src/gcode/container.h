#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "base/files.h"
#include "base/result.h"

namespace drydepth {

/// What a job lies in. The first bytes tell, not the name.
enum class Container { kText, kGzip, kBinary, kProject };

/// A job as text, whatever it lies in.
struct OpenJob {
  ByteSource text;  ///< read anew each time, in pieces
  Container container = Container::kText;
  std::string entry;  ///< of a project: the job's name inside
};

/// Opens a job for reading. Error (exit 66) where it cannot be read; exit 65 for a
/// project without a job; exit 64 for one of several plates where none is chosen, or
/// for a plate that is not there. Broken data comes to light when text is read.
Result<OpenJob> open_job(const std::filesystem::path& path,
                         std::optional<int> plate = std::nullopt);

/// Makes all of a job's new text and hands it to the sink.
using JobWriter = std::function<Result<Done>(const ByteSink&)>;

/// Writes a job back where it came from; nothing is changed unless all went well. Text
/// is written as it is made, a project is packed anew in memory. Error (exit 73) for
/// gzip and binary G-code, which are not written, with the way out; others as
/// AtomicFile and the writer's own.
Result<Done> write_job(const std::filesystem::path& path, const OpenJob& job,
                       const JobWriter& writer);

}  // namespace drydepth
