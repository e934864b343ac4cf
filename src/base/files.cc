#include "base/files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <fstream>
#include <system_error>
#include <vector>

#include "base/exit_code.h"
#include "base/stale_files.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

// What is copied, or sent to the disk, at once.
constexpr std::int64_t kPortionBytes = 8 << 20;

std::string reason(int error_number) {
  return std::generic_category().message(error_number);
}

/// A file descriptor that closes itself.
class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }

 private:
  int fd_;
};

Error unreadable(const std::string& name, int error_number) {
  return Error{name, "cannot be read: " + reason(error_number),
               "check the path and its permissions", kExitNoInput};
}

Result<Done> read_file(const fs::path& path, const ByteSink& sink) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.get() < 0) return unreadable(path.string(), errno);
  std::vector<char> piece(kFilePieceBytes);
  while (true) {
    const ssize_t got = ::read(file.get(), piece.data(), piece.size());
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return unreadable(path.string(), errno);
    if (got == 0) return Done{};
    if (!sink(std::string_view(piece.data(), static_cast<std::size_t>(got)))) {
      return Done{};
    }
  }
}

Error refused(const fs::path& path, std::string what, std::string hint) {
  return Error{path.string(), std::move(what), std::move(hint), kExitCannotCreate};
}

/// Follows links by hand, because the last one may point at a file that is not there
/// yet.
Result<fs::path> resolve_links(const fs::path& shown) {
  constexpr int kMaxLinks = 40;  // as Linux does
  fs::path path = shown;
  for (int i = 0; i < kMaxLinks; ++i) {
    std::error_code failed;
    const fs::path next = fs::read_symlink(path, failed);
    if (failed) return path;
    path = next.is_absolute() ? next : path.parent_path() / next;
  }
  return refused(shown, "cannot be written: too many symbolic links",
                 "give the file itself");
}

fs::path folder_of(const fs::path& file) {
  return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

/// Mode and owner of the target, or nothing while it does not exist.
struct Standing {
  bool exists = false;
  struct stat facts = {};
};

Result<Standing> check_writable(const fs::path& shown, const fs::path& target) {
  Standing standing;
  if (::stat(target.c_str(), &standing.facts) != 0) {
    if (errno == ENOENT) return standing;
    return refused(shown, "cannot be written: " + reason(errno), "check the path");
  }
  standing.exists = true;
  if (!S_ISREG(standing.facts.st_mode)) {
    return refused(shown, "cannot be written: it is not a plain file",
                   "give the path of a file");
  }
  if ((standing.facts.st_mode & 0222) == 0 || ::access(target.c_str(), W_OK) != 0) {
    return refused(shown, "is write-protected and was left alone",
                   "allow writing to it first, e.g. with chmod u+w");
  }
  return standing;
}

/// A rename must not change what a file is to others. The owner can be kept by root
/// only; for anyone else the new file is theirs, as any other file they write.
bool keep_standing(int descriptor, const Standing& standing) {
  if (!standing.exists) return true;
  const auto& facts = standing.facts;
  const int owner = ::fchown(descriptor, facts.st_uid, facts.st_gid);
  if (owner != 0 && errno != EPERM) return false;
  return ::fchmod(descriptor, facts.st_mode & 07777) == 0;
}

bool write_fully(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t put = ::write(descriptor, bytes.data(), bytes.size());
    if (put < 0 && errno == EINTR) continue;
    if (put < 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(put));
  }
  return true;
}

/// Some file systems cannot flush a folder and say EINVAL; the rename stands all the
/// same.
bool flush_folder(const fs::path& folder) {
  const Descriptor dir(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (dir.get() < 0) return errno == EACCES;
  return ::fsync(dir.get()) == 0 || errno == EINVAL;
}

}  // namespace

ByteSource file_source(const fs::path& path) {
  return {path.string(),
          [path](const ByteSink& sink) { return read_file(path, sink); }};
}

ByteSource memory_source(std::string name, std::string bytes, std::size_t piece_bytes) {
  auto read = [bytes = std::move(bytes), piece_bytes](const ByteSink& sink) {
    for (std::size_t i = 0; i < bytes.size(); i += piece_bytes) {
      if (!sink(std::string_view(bytes).substr(i, piece_bytes))) break;
    }
    return Result<Done>(Done{});
  };
  return {std::move(name), std::move(read)};
}

Result<std::string> read_whole_file(const fs::path& path) {
  std::string all;
  const auto read = read_file(path, [&all](std::string_view piece) {
    all.append(piece);
    return true;
  });
  if (!read) return read.error();
  return all;
}

Result<std::string> read_ends(const fs::path& path, std::size_t top_bytes,
                              std::size_t end_bytes) {
  std::error_code error;
  const std::uintmax_t size = fs::file_size(path, error);
  if (error || size <= top_bytes + end_bytes) return read_whole_file(path);
  std::ifstream in(path, std::ios::binary);
  std::string out(top_bytes + 1 + end_bytes, '\n');
  in.read(out.data(), static_cast<std::streamsize>(top_bytes));
  in.seekg(-static_cast<std::streamoff>(end_bytes), std::ios::end);
  in.read(out.data() + top_bytes + 1, static_cast<std::streamsize>(end_bytes));
  if (in) return out;
  return Error{path.string(), "cannot be read to its end",
               "check the disk and the permissions", kExitNoInput};
}

OpenFile::OpenFile(fs::path path, int descriptor, std::uint64_t bytes)
    : path_(std::move(path)), descriptor_(descriptor), bytes_(bytes) {}

OpenFile::OpenFile(OpenFile&& other) noexcept
    : path_(std::move(other.path_)),
      descriptor_(std::exchange(other.descriptor_, -1)),
      bytes_(other.bytes_) {}

OpenFile::~OpenFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

Result<OpenFile> OpenFile::open(const fs::path& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) return unreadable(path.string(), errno);
  struct stat facts = {};
  const bool known = ::fstat(fd, &facts) == 0;
  OpenFile out(path, fd, known ? static_cast<std::uint64_t>(facts.st_size) : 0);
  if (!known) return unreadable(path.string(), errno);
  return out;
}

Result<std::string> OpenFile::read(std::uint64_t from, std::uint64_t to) const {
  std::string out(static_cast<std::size_t>(to - from), '\0');
  for (std::size_t have = 0; have < out.size();) {
    const ssize_t got = ::pread(descriptor_, out.data() + have, out.size() - have,
                                static_cast<off_t>(from + have));
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return unreadable(path_.string(), errno);
    if (got == 0) {
      return Error{path_.string(), "it became shorter while it was read",
                   "wait until whoever writes it is done", kExitNoInput};
    }
    have += static_cast<std::size_t>(got);
  }
  return out;
}

AtomicFile::AtomicFile(fs::path shown, fs::path target, fs::path temporary,
                       int descriptor)
    : shown_(std::move(shown)),
      target_(std::move(target)),
      temporary_(std::move(temporary)),
      descriptor_(descriptor) {}

AtomicFile::AtomicFile(AtomicFile&& other) noexcept
    : shown_(std::move(other.shown_)),
      target_(std::move(other.target_)),
      temporary_(std::exchange(other.temporary_, {})),
      descriptor_(std::exchange(other.descriptor_, -1)),
      buffer_(std::move(other.buffer_)),
      written_(other.written_),
      sent_(other.sent_) {}

AtomicFile::~AtomicFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
  if (!temporary_.empty()) ::unlink(temporary_.c_str());
}

Result<AtomicFile> AtomicFile::open(const fs::path& shown) {
  auto target = resolve_links(shown);
  if (!target) return target.error();
  const auto standing = check_writable(shown, *target);
  if (!standing) return standing.error();
  for (int attempt = 0;; ++attempt) {
    // A short name of its own: the target's may already be as long as a name can be.
    const std::string name = std::string(kTemporaryPrefix) +
                             std::to_string(::getpid()) + "-" + std::to_string(attempt);
    const fs::path temporary = folder_of(*target) / name;
    const int fd =
        ::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno == EEXIST && attempt < 1000) continue;
    if (fd < 0) {
      return refused(
          shown, "cannot be written: its folder takes no new file: " + reason(errno),
          "check that the folder exists and may be written to");
    }
    AtomicFile file(shown, *target, temporary, fd);
    if (!keep_standing(fd, *standing)) return file.failed("keep the mode of", errno);
    return file;
  }
}

Error AtomicFile::failed(const char* doing, int error_number) const {
  return Error{shown_.string(),
               std::string("could not ") + doing + " it: " + reason(error_number),
               "make room on the disk and try again; the file is as it was", kExitIo};
}

/// Sends bytes to the disk while more are made, so that commit() need not wait for all
/// of a large file.
void AtomicFile::count(std::int64_t bytes) {
  written_ += bytes;
#ifdef SYNC_FILE_RANGE_WRITE
  if (written_ - sent_ < kPortionBytes) return;
  // Only a beginning: where it does not work, commit() does all and says so.
  (void)::sync_file_range(descriptor_, sent_, written_ - sent_, SYNC_FILE_RANGE_WRITE);
  sent_ = written_;
#endif
}

Result<Done> AtomicFile::put(std::string_view bytes) {
  if (!write_fully(descriptor_, bytes)) return failed("write", errno);
  count(static_cast<std::int64_t>(bytes.size()));
  return Done{};
}

Result<Done> AtomicFile::append(const OpenFile& source, std::uint64_t from,
                                std::uint64_t to) {
  if (auto flushed = flush(); !flushed) return flushed;
  while (from < to) {
    const std::uint64_t portion = std::min<std::uint64_t>(to - from, kPortionBytes);
    auto at = static_cast<loff_t>(from);
    const ssize_t copied =
        ::copy_file_range(source.descriptor(), &at, descriptor_, nullptr, portion, 0);
    if (copied > 0) {
      count(copied);
      from += static_cast<std::uint64_t>(copied);
      continue;
    }
    // Not every pair of file systems can; a full disk shows again when written by hand.
    const auto piece =
        source.read(from, from + std::min<std::uint64_t>(portion, kFilePieceBytes));
    if (!piece) return piece.error();
    if (auto done = put(*piece); !done) return done;
    from += piece->size();
  }
  return Done{};
}

Result<Done> AtomicFile::flush() {
  if (buffer_.empty()) return Done{};
  auto done = put(buffer_);
  buffer_.clear();
  return done;
}

Result<Done> AtomicFile::write(std::string_view bytes) {
  if (buffer_.size() + bytes.size() < kFilePieceBytes) {
    buffer_.append(bytes);
    return Done{};
  }
  auto flushed = flush();
  return flushed ? put(bytes) : flushed;
}

Result<Done> AtomicFile::commit() {
  if (auto flushed = flush(); !flushed) return flushed;
  if (::fsync(descriptor_) != 0) return failed("write", errno);
  if (::close(std::exchange(descriptor_, -1)) != 0) return failed("close", errno);
  if (::rename(temporary_.c_str(), target_.c_str()) != 0) {
    return failed("replace", errno);
  }
  temporary_.clear();
  if (!flush_folder(folder_of(target_))) {
    return Error{shown_.string(),
                 "was replaced, but the folder could not be flushed to the disk: " +
                     reason(errno),
                 "check the file before relying on it", kExitIo};
  }
  return Done{};
}

Result<Done> write_whole_file(const fs::path& path, std::string_view bytes) {
  auto file = AtomicFile::open(path);
  if (!file) return file.error();
  if (auto written = file->write(bytes); !written) return written;
  return file->commit();
}

}  // namespace drydepth
