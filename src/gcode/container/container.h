#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "base/files.h"
#include "base/result.h"
#include "gcode/container/binary.h"
#include "gcode/read/trace.h"

namespace drydepth {

/// What a job lies in. The first bytes tell, not the name.
enum class Container { kText, kGzip, kBinary, kProject };

/// A job as text, whatever it lies in.
struct OpenJob {
  ByteSource text;  ///< read anew each time, in pieces
  Container container = Container::kText;
  std::string entry;  ///< of a project: the job's name inside
  BinaryFront front;  ///< of binary G-code: no commands, so that no edit can go there
};

/// Opens a job for reading. Error (exit 66) where it cannot be read; exit 65 for a
/// project without a job; exit 64 for one of several plates where none is chosen, or
/// for a plate that is not there. Most broken data comes to light
/// when text is read.
Result<OpenJob> open_job(const std::filesystem::path& path,
                         std::optional<int> plate = std::nullopt);

/// Moves the place of the header's block behind such a front.
void keep_behind_front(const OpenJob& job, Trace& trace);

/// Whether binary G-code may be written, as blocks without compression: legal by the
/// format, but not known to be taken by firmwares.
enum class BinaryWriting { kRefused, kTried };

/// Writes a job back where it came from; nothing is changed unless all went well. Text
/// is written as it is made, a project is packed anew in memory. Error (exit 73) for
/// gzip and for binary G-code that is not to be written, with the way out; others as
/// AtomicFile and the text's own.
Result<Done> write_job(const std::filesystem::path& path, const OpenJob& job,
                       const TextMaker& text,
                       BinaryWriting binary = BinaryWriting::kRefused);

}  // namespace drydepth
