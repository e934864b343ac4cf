#include "base/file_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <system_error>
#include <thread>
#include <utility>

#include "base/exit_code.h"
#include "base/stale_files.h"

namespace drydepth {
namespace {

constexpr std::chrono::milliseconds kPatience(10000);
constexpr std::chrono::milliseconds kPause(2);

Error refused(const std::filesystem::path& folder, std::string what, std::string hint) {
  return Error{folder.string(), std::move(what), std::move(hint), kExitCannotCreate};
}

}  // namespace

Result<FolderLock> FolderLock::take(const std::filesystem::path& folder) {
  const std::filesystem::path shown = folder.empty() ? "." : folder;
  const std::filesystem::path file = shown / ".drydepth-lock";
  const int fd = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (fd < 0) {
    return refused(shown,
                   "cannot be written: it takes no lock file: " +
                       std::generic_category().message(errno),
                   "check that the folder exists and may be written to");
  }
  FolderLock lock(fd);
  const auto end = std::chrono::steady_clock::now() + kPatience;
  while (::flock(fd, LOCK_EX | LOCK_NB) != 0) {
    if (errno != EWOULDBLOCK && errno != EINTR) {
      return refused(shown,
                     "cannot be locked: " + std::generic_category().message(errno),
                     "keep the shelf on a file system that has locks");
    }
    if (std::chrono::steady_clock::now() > end) {
      return refused(shown, "another drydepth has been writing here for 10 seconds",
                     "wait for it, or end it, and try again");
    }
    std::this_thread::sleep_for(kPause);
  }
  remove_stale_temporaries(shown, std::filesystem::file_time_type::clock::now());
  return lock;
}

FolderLock::FolderLock(FolderLock&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)) {}

FolderLock::~FolderLock() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

}  // namespace drydepth
