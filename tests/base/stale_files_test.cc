#include "base/stale_files.h"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <set>

#include "base/file_lock.h"
#include "base/files.h"

namespace fs = std::filesystem;
using namespace drydepth;
using namespace std::chrono_literals;

namespace {

/// A folder of its own for each test, gone at its end.
class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "stale-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  ~Folder() { fs::remove_all(path_); }
  const fs::path& path() const { return path_; }
  std::set<std::string> names() const {
    std::set<std::string> out;
    for (const auto& entry : fs::directory_iterator(path_)) {
      out.insert(entry.path().filename().string());
    }
    return out;
  }

 private:
  fs::path path_;
};

/// The id of a process that has ended.
pid_t ended_process() {
  const pid_t child = ::fork();
  if (child == 0) ::_exit(0);
  ::waitpid(child, nullptr, 0);
  return child;
}

/// A process that is killed between writing a new text and putting it in place.
void kill_writer(const fs::path& target) {
  int ends[2];
  REQUIRE(::pipe(ends) == 0);
  const pid_t child = ::fork();
  if (child == 0) {
    auto file = AtomicFile::open(target);
    const bool written = file && file->write(std::string(2 * kFilePieceBytes, 'x'));
    (void)!::write(ends[1], written ? "w" : "-", 1);
    for (;;) ::pause();
  }
  char told = 0;
  REQUIRE(::read(ends[0], &told, 1) == 1);
  REQUIRE(told == 'w');
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  ::close(ends[0]);
  ::close(ends[1]);
}

void age(const Folder& folder, std::chrono::seconds by) {
  for (const std::string& name : folder.names()) {
    const fs::path file = folder.path() / name;
    fs::last_write_time(file, fs::last_write_time(file) - by);
  }
}

}  // namespace

TEST_CASE("the next writer takes away what a killed one left") {
  const Folder folder;
  const fs::path target = folder.path() / "K-07.json";
  REQUIRE(write_whole_file(target, "old"));
  kill_writer(target);
  CHECK(*read_whole_file(target) == "old");
  CHECK(folder.names().size() == 2);
  age(folder, 30s);
  CHECK(FolderLock::take(folder.path()));  // another machine may still write there
  CHECK(folder.names().size() == 3);
  age(folder, 40s);
  CHECK(FolderLock::take(folder.path()));
  CHECK(folder.names() == std::set<std::string>{".drydepth-lock", "K-07.json"});
}

TEST_CASE("only temporary files of ours that nobody writes any more are stale") {
  const std::string ended = std::to_string(ended_process());
  const std::string running = std::to_string(::getpid());
  struct Row {
    const char* what;
    std::string name;
    std::chrono::seconds untouched;
    bool stays;
  };
  const Row rows[] = {
      {"ended, two minutes", ".drydepth-" + ended + "-0", 2min, false},
      {"ended, count of two digits", ".drydepth-" + ended + "-12", 2min, false},
      {"ended, just now", ".drydepth-" + ended + "-0", 0s, true},
      {"running, two minutes", ".drydepth-" + running + "-0", 2min, true},
      {"running, by another of that id", ".drydepth-" + running + "-0", 25h, false},
      {"the lock", ".drydepth-lock", 48h, true},
      {"no count", ".drydepth-" + ended, 48h, true},
      {"more behind the count", ".drydepth-" + ended + "-0.json", 48h, true},
      {"no process", ".drydepth-0-0", 48h, true},
      {"a negative process", ".drydepth--1-0", 48h, true},
      {"a kept fit", ".K-07.fit", 48h, true},
      {"a record", "K-07.json", 48h, true},
  };
  for (const Row& row : rows) {
    INFO(row.what);
    const Folder folder;
    std::ofstream(folder.path() / row.name) << "x";
    const auto now = fs::last_write_time(folder.path() / row.name) + row.untouched;
    remove_stale_temporaries(folder.path(), now);
    CHECK(folder.names().count(row.name) == (row.stays ? 1 : 0));
  }
}

TEST_CASE("a folder is no stale file, and one that is not there is no error") {
  const Folder folder;
  const std::string name = ".drydepth-" + std::to_string(ended_process()) + "-0";
  fs::create_directory(folder.path() / name);
  remove_stale_temporaries(folder.path(), fs::file_time_type::clock::now() + 48h);
  CHECK(folder.names() == std::set<std::string>{name});
  remove_stale_temporaries(folder.path() / "missing", fs::file_time_type::clock::now());
}
