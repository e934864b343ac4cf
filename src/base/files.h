#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

#include "base/result.h"

namespace drydepth {

/// Takes the next piece of a byte stream; false means that no more are wanted.
using ByteSink = std::function<bool(std::string_view)>;

/// Bytes that can be read front to back as often as needed, without holding them all.
struct ByteSource {
  std::string name;  ///< for messages: the path as given
  /// Calls the sink with all bytes in order. Stopping early is not an error.
  std::function<Result<Done>(const ByteSink&)> read;
};

/// Size of the pieces a file is read and written in.
constexpr std::size_t kFilePieceBytes = 256 * 1024;

/// A file, opened anew at each read. Error (exit 66) if it cannot be opened or read.
ByteSource file_source(const std::filesystem::path& path);

/// Bytes held in memory, handed out in pieces of piece_bytes.
ByteSource memory_source(std::string name, std::string bytes,
                         std::size_t piece_bytes = kFilePieceBytes);

/// The whole file. Error (exit 66) if it does not exist or cannot be read.
Result<std::string> read_whole_file(const std::filesystem::path& path);

/// The first and the last bytes of a file, with a line end between them; the whole of a
/// file that is no longer than both. Error (exit 66) if it cannot be read.
Result<std::string> read_ends(const std::filesystem::path& path, std::size_t top_bytes,
                              std::size_t end_bytes);

/// A file held open, to be read at any place.
class OpenFile {
 public:
  /// Error (exit 66) if it cannot be opened.
  static Result<OpenFile> open(const std::filesystem::path& path);

  OpenFile(OpenFile&& other) noexcept;
  OpenFile& operator=(OpenFile&&) = delete;
  ~OpenFile();

  std::uint64_t bytes() const { return bytes_; }
  int descriptor() const { return descriptor_; }
  const std::filesystem::path& path() const { return path_; }
  /// Bytes from..to. Error (exit 66) where the file ends before.
  Result<std::string> read(std::uint64_t from, std::uint64_t to) const;

 private:
  OpenFile(std::filesystem::path path, int descriptor, std::uint64_t bytes);

  std::filesystem::path path_;
  int descriptor_ = -1;
  std::uint64_t bytes_ = 0;
};

/// A file that appears complete or not at all. Bytes go to a temporary file beside the
/// target (symbolic links followed, so that the link stays a link); commit() flushes it
/// to the disk and renames it over the target, keeping the target's mode. Without a
/// commit the temporary file is removed and the target is as it was.
/// A process that writes large files ignores SIGXFSZ, so that a file-size limit comes
/// back as an Error too.
class AtomicFile {
 public:
  /// Error (exit 73) if the target may not be written: no write bit in its mode, which
  /// even root honours here, not a plain file, or its folder does not take new files.
  static Result<AtomicFile> open(const std::filesystem::path& target);

  AtomicFile(AtomicFile&& other) noexcept;
  AtomicFile& operator=(AtomicFile&&) = delete;
  ~AtomicFile();

  /// Error (exit 74) if the disk is full or a limit is reached.
  Result<Done> write(std::string_view bytes);
  /// Bytes from..to of another file, copied by the kernel where it can. Errors as
  /// write, and as OpenFile::read.
  Result<Done> append(const OpenFile& source, std::uint64_t from, std::uint64_t to);
  /// Error (exit 74); the target is then untouched. Call once, last.
  Result<Done> commit();

 private:
  AtomicFile(std::filesystem::path shown, std::filesystem::path target,
             std::filesystem::path temporary, int descriptor);
  Result<Done> flush();
  Result<Done> put(std::string_view bytes);
  void count(std::int64_t bytes);
  Error failed(const char* doing, int error_number) const;

  std::filesystem::path shown_;      // as the caller gave it, for messages
  std::filesystem::path target_;     // with links resolved
  std::filesystem::path temporary_;  // empty once renamed or moved from
  int descriptor_ = -1;
  std::string buffer_;        // small writes, gathered
  std::int64_t written_ = 0;  // bytes
  std::int64_t sent_ = 0;     // of these, on their way to the disk
};

/// A whole file written by way of AtomicFile.
Result<Done> write_whole_file(const std::filesystem::path& path,
                              std::string_view bytes);

}  // namespace drydepth
