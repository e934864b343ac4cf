#include "gcode/edit/splice.h"

#include <catch2/catch.hpp>
#include <filesystem>

#include "base/files.h"
#include "gcode/edit/rewrite.h"

using namespace drydepth;

namespace {

namespace fs = std::filesystem;

struct Folder {
  fs::path path = fs::temp_directory_path() / "drydepth-splice-test";
  Folder() {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~Folder() { fs::remove_all(path); }
};

std::string spliced(const fs::path& path, const std::string& job,
                    const std::vector<Edit>& edits) {
  REQUIRE(write_whole_file(path, job));
  const auto done = splice(path, edits, job.size());
  INFO((done ? "" : done.error().text()));
  CHECK(done);
  return *read_whole_file(path);
}

std::string rewritten(const std::string& job, const std::vector<Edit>& edits) {
  std::string out;
  CHECK(rewrite(memory_source("job", job), edits, [&](std::string_view piece) {
    out += piece;
    return true;
  }));
  return out;
}

// A job of lines of many lengths, larger than a portion of the kernel's copying.
std::string long_job(const std::string& eol) {
  std::string out;
  for (std::size_t i = 0; out.size() < (9U << 20); ++i) {
    out += "G1 X" + std::to_string(i * 7919 % 100003) + eol;
  }
  return out;
}

std::vector<Edit> some_edits(const std::string& job) {
  std::vector<Edit> out;
  for (const double share : {0.0, 0.1, 0.1, 0.5, 0.95, 1.0}) {
    const auto from = static_cast<std::size_t>(share * static_cast<double>(job.size()));
    const std::size_t end = std::min(job.find('\n', from), job.size() - 1);
    out.push_back({end + 1, 2, "message", {"M117 wet wraps"}});
  }
  return out;
}

}  // namespace

TEST_CASE("spliced in the file is what was rewritten on the way") {
  const Folder folder;
  for (const std::string eol : {"\n", "\r\n"}) {
    const std::string jobs[] = {"G28" + eol + "G1 X1" + eol, long_job(eol)};
    for (const std::string& job : jobs) {
      INFO(job.size());
      const std::string plain = spliced(folder.path / "a.gcode", job, {});
      CHECK((plain == job));
      const auto edits = some_edits(job);
      const std::string edited = spliced(folder.path / "a.gcode", job, edits);
      const std::string expected = rewritten(job, edits);
      CHECK((edited == expected));
    }
  }
}

TEST_CASE("a file that cannot be spliced is as it was") {
  const Folder folder;
  const fs::path path = folder.path / "a.gcode";
  const std::string job = "G28\nG1 X1\nG1 X2";
  const struct {
    std::vector<Edit> edits;
    std::uint64_t bytes;
    std::string error;
  } rows[] = {
      {{{6, 2, "note", {}}},
       15,
       ":2: no block can be put in here: byte 6 is not the start of a line below the "
       "first; slice the job again, since it may have changed while it was read"},
      {{{0, 1, "note", {}}},
       15,
       ":1: no block can be put in here: byte 0 is not the start of a line below the "
       "first; slice the job again, since it may have changed while it was read"},
      {{{15, 4, "note", {}}},
       15,
       ":4: no block can be put in here: byte 15 is not the start of a line below the "
       "first; slice the job again, since it may have changed while it was read"},
      {{{10, 3, "note", {}}, {4, 2, "note", {}}},
       15,
       ":2: no block can be put in here: byte 4 is not the start of a line below the "
       "first; slice the job again, since it may have changed while it was read"},
      {{},
       14,
       ": it has changed while it was read; wait until whoever writes it is done, and "
       "guard it again"}};
  for (const auto& row : rows) {
    REQUIRE(write_whole_file(path, job));
    const auto done = splice(path, row.edits, row.bytes);
    REQUIRE_FALSE(done);
    CHECK(done.error().text() == path.string() + row.error);
    CHECK(*read_whole_file(path) == job);
    CHECK(std::distance(fs::directory_iterator(folder.path), {}) == 1);
  }
}
