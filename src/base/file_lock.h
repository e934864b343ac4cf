#pragma once

#include <filesystem>

#include "base/result.h"

namespace drydepth {

/// The right to change the files of a folder, held by one process at a time until it
/// ends or the lock goes. It stands as flock() on a hidden file in that folder, which
/// stays there: taking it away would give two processes a lock each. The system lets go
/// of it when a process dies, however it does.
class FolderLock {
 public:
  /// Waits for as long as ten seconds, then clears what killed writers left there (see
  /// stale_files.h). Error (exit 73) when another process holds the
  /// lock for longer, or the folder takes no files.
  static Result<FolderLock> take(const std::filesystem::path& folder);

  FolderLock(FolderLock&& other) noexcept;
  FolderLock& operator=(FolderLock&&) = delete;
  ~FolderLock();

 private:
  explicit FolderLock(int descriptor) : descriptor_(descriptor) {}
  int descriptor_ = -1;
};

}  // namespace drydepth
