#include "base/files.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>

namespace fs = std::filesystem;
using namespace drydepth;

namespace {

/// A folder of its own for each test, gone at its end.
class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "files-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  ~Folder() { fs::remove_all(path_); }
  fs::path operator/(const char* name) const { return path_ / name; }
  std::size_t count() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
  }

 private:
  fs::path path_;
};

void put(const fs::path& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

std::string get(const fs::path& path) {
  auto text = read_whole_file(path);
  return text ? *text : text.error().text();
}

unsigned mode_of(const fs::path& path) {
  struct stat facts = {};
  REQUIRE(::stat(path.c_str(), &facts) == 0);
  return facts.st_mode & 07777u;
}

/// No file of this process may grow beyond this while it lives.
class FileSizeLimit {
 public:
  explicit FileSizeLimit(rlim_t bytes) {
    ::getrlimit(RLIMIT_FSIZE, &before_);
    old_handler_ = ::signal(SIGXFSZ, SIG_IGN);
    rlimit limit = before_;
    limit.rlim_cur = bytes;
    ::setrlimit(RLIMIT_FSIZE, &limit);
  }
  ~FileSizeLimit() {
    ::setrlimit(RLIMIT_FSIZE, &before_);
    ::signal(SIGXFSZ, old_handler_);
  }

 private:
  rlimit before_ = {};
  void (*old_handler_)(int) = nullptr;
};

}  // namespace

TEST_CASE("a file is read whole, NUL and all, and in pieces") {
  const Folder folder;
  std::string bytes("a\0b\r\n", 5);
  bytes.append(3 * kFilePieceBytes, 'x');
  put(folder / "in", bytes);
  CHECK(get(folder / "in") == bytes);
  std::size_t pieces = 0;
  const ByteSource source = file_source(folder / "in");
  for (int again = 0; again < 2; ++again) {
    pieces = 0;
    REQUIRE(source.read([&pieces](std::string_view) { return ++pieces < 2; }));
    CHECK(pieces == 2);
  }
}

TEST_CASE("what cannot be read says why") {
  const Folder folder;
  const std::string missing = (folder / "none.gcode").string();
  const auto text = read_whole_file(missing);
  REQUIRE_FALSE(text);
  CHECK(text.error().exit_code == 66);
  CHECK(text.error().text() == missing +
                                   ": cannot be read: No such file or directory; "
                                   "check the path and its permissions");
  CHECK_FALSE(read_whole_file(fs::temp_directory_path()));
}

TEST_CASE("a memory source hands out pieces of the size asked for") {
  std::vector<std::string> pieces;
  REQUIRE(memory_source("m", "abcdefg", 3).read([&pieces](std::string_view piece) {
    pieces.emplace_back(piece);
    return true;
  }));
  CHECK(pieces == std::vector<std::string>{"abc", "def", "g"});
}

TEST_CASE("a replaced file keeps its mode, and a link to it stays a link") {
  const Folder folder;
  put(folder / "job", "old");
  fs::permissions(folder / "job", fs::perms(0640));
  fs::create_symlink("job", folder / "link");
  REQUIRE(write_whole_file(folder / "link", "new"));
  CHECK(get(folder / "job") == "new");
  CHECK(mode_of(folder / "job") == 0640);
  CHECK(fs::is_symlink(folder / "link"));
  CHECK(folder.count() == 2);
}

TEST_CASE("a link whose target does not exist yet gets its target") {
  const Folder folder;
  fs::create_symlink("later", folder / "link");
  REQUIRE(write_whole_file(folder / "link", "new"));
  CHECK(fs::is_symlink(folder / "link"));
  CHECK(get(folder / "later") == "new");
}

TEST_CASE("without a commit nothing happened") {
  const Folder folder;
  put(folder / "job", "old");
  {
    auto file = AtomicFile::open(folder / "job");
    REQUIRE(file);
    AtomicFile moved = std::move(*file);
    REQUIRE(moved.write(std::string(2 * kFilePieceBytes, 'x')));
    CHECK(folder.count() == 2);
  }
  CHECK(folder.count() == 1);
  CHECK(get(folder / "job") == "old");
}

TEST_CASE("a file without a write bit is refused, also for root") {
  const Folder folder;
  put(folder / "job", "old");
  fs::permissions(folder / "job", fs::perms(0444));
  const auto written = write_whole_file(folder / "job", "new");
  REQUIRE_FALSE(written);
  CHECK(written.error().exit_code == 73);
  CHECK(written.error().text() == (folder / "job").string() +
                                      ": is write-protected and was left alone; "
                                      "allow writing to it first, e.g. with chmod u+w");
  CHECK(get(folder / "job") == "old");
  CHECK(folder.count() == 1);
}

TEST_CASE("what is no plain file is refused") {
  const Folder folder;
  fs::create_directory(folder / "dir");
  fs::create_symlink("loop", folder / "loop");
  const struct {
    const char* label;
    fs::path path;
    std::string text;
  } rows[] = {
      {"folder", folder / "dir",
       "cannot be written: it is not a plain file; give the path of a file"},
      {"device", "/dev/null",
       "cannot be written: it is not a plain file; give the path of a file"},
      {"link to itself", folder / "loop",
       "cannot be written: too many symbolic links; give the file itself"},
      {"no such folder", folder / "none/job",
       "cannot be written: its folder takes no new file: No such file or directory; "
       "check that the folder exists and may be written to"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto written = write_whole_file(row.path, "new");
    REQUIRE_FALSE(written);
    CHECK(written.error().exit_code == 73);
    CHECK(written.error().text() == row.path.string() + ": " + row.text);
  }
}

TEST_CASE("a full disk leaves the file as it was") {
  const Folder folder;
  put(folder / "job", "old");
  const std::string more(3 * kFilePieceBytes, 'x');
  Result<Done> written = Done{};
  {
    const FileSizeLimit limit(kFilePieceBytes);
    written = write_whole_file(folder / "job", more);
  }
  REQUIRE_FALSE(written);
  CHECK(written.error().exit_code == 74);
  CHECK(written.error().text() ==
        (folder / "job").string() +
            ": could not write it: File too large; "
            "make room on the disk and try again; the file is as it was");
  CHECK(get(folder / "job") == "old");
  CHECK(folder.count() == 1);
}

TEST_CASE("a limit met only at the commit is reported too") {
  const Folder folder;
  auto file = AtomicFile::open(folder / "job");
  REQUIRE(file);
  REQUIRE(file->write("short"));
  const FileSizeLimit limit(0);
  const auto committed = file->commit();  // what was held back is written only now
  REQUIRE_FALSE(committed);
  CHECK(committed.error().exit_code == 74);
}

TEST_CASE("the ends of a file, or the whole of a short one") {
  const fs::path path = fs::temp_directory_path() / "drydepth-ends-test";
  REQUIRE(write_whole_file(path, "0123456789"));
  CHECK(*read_ends(path, 3, 2) == "012\n89");
  CHECK(*read_ends(path, 5, 5) == "0123456789");
  CHECK(*read_ends(path, 60, 50) == "0123456789");
  fs::remove(path);
  CHECK_FALSE(read_ends(path, 3, 2));
}
