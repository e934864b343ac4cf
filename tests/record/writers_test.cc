// Two processes at one record, and processes killed while they write: what was said to
// be logged is there, once, and the record can be read.

#include <sys/wait.h>
#include <unistd.h>
#include <catch2/catch.hpp>
#include <cmath>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <random>
#include <set>

#include "base/numbers.h"
#include "record/amend.h"
#include "record/record_text.h"
#include "record/shelf.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

// In memory where that can be: what counts here is the order of steps, not the disk.
fs::path fast_folder() {
  const fs::path memory = "/dev/shm";
  return ::access(memory.c_str(), W_OK) == 0 ? memory : fs::temp_directory_path();
}

struct WriterShelf {
  fs::path path = fast_folder() / ("drydepth-writers-" + std::to_string(::getpid()));
  fs::path file;
  WriterShelf() {
    fs::create_directories(path);
    fresh();
  }
  ~WriterShelf() { fs::remove_all(path); }
  void fresh() {
    file = path / "T.json";
    REQUIRE(write_whole_file(file, record_text("")).has_value());
  }
};

// A weighing that can be told from all others by its reading: 300.000 g plus the number
// in milligrams.
Event numbered(int number) {
  return Weighing{.at = Instant(Seconds(1772500000)),
                  .gross_kg = 0.3 + number * 1e-6,
                  .scale_sd_kg = 0.001};
}

int number_of(const Event& event) {
  return static_cast<int>(
      std::lround((std::get<Weighing>(event).gross_kg - 0.3) * 1e6));
}

bool log_number(const fs::path& file, int number) {
  const auto done = update_record(file, [number](const SpoolRecord& record) {
    return append_event(record, numbered(number));
  });
  return done.has_value();
}

// Logs first, first + 1, ... up to `count` of them; tells each through the pipe as soon
// as it is said to be done. Never returns.
[[noreturn]] void write_until_killed(const fs::path& file, int first, int count,
                                     int pipe) {
  for (int i = first; i < first + count; ++i) {
    if (!log_number(file, i)) ::_exit(1);
    if (::write(pipe, &i, sizeof i) != sizeof i) ::_exit(2);
  }
  ::_exit(0);
}

std::vector<int> told(int pipe) {
  std::vector<int> numbers;
  int number = 0;
  while (::read(pipe, &number, sizeof number) == sizeof number) {
    numbers.push_back(number);
  }
  return numbers;
}

std::multiset<int> numbers_in(const fs::path& file) {
  const auto record = load_record(file);
  if (!record) FAIL(record.error().text());
  std::multiset<int> out;
  for (const Event& event : record->events) out.insert(number_of(event));
  return out;
}

struct Round {
  std::vector<int> acknowledged;
  int killed = 0;
};

// Two writers, killed after `life` (or let run out for 0).
Round race_writers(const fs::path& file, int first, int count,
                   std::chrono::microseconds life) {
  int ends[2];
  REQUIRE(::pipe(ends) == 0);
  pid_t writers[2];
  for (int w = 0; w < 2; ++w) {
    writers[w] = ::fork();
    REQUIRE(writers[w] >= 0);
    if (writers[w] == 0) write_until_killed(file, first + w * count, count, ends[1]);
  }
  ::close(ends[1]);
  Round out;
  if (life.count() > 0) {
    ::usleep(static_cast<useconds_t>(life.count()));
    for (const pid_t writer : writers) ::kill(writer, SIGKILL);
  }
  out.acknowledged = told(ends[0]);
  ::close(ends[0]);
  for (const pid_t writer : writers) {
    int status = 0;
    REQUIRE(::waitpid(writer, &status, 0) == writer);
    if (WIFSIGNALED(status)) ++out.killed;
    if (WIFEXITED(status)) CHECK(WEXITSTATUS(status) == 0);
  }
  return out;
}

TEST_CASE("two processes at once lose nothing") {
  WriterShelf shelf;
  const Round round = race_writers(shelf.file, 0, 100, {});
  CHECK(round.acknowledged.size() == 200);
  const std::multiset<int> found = numbers_in(shelf.file);
  CHECK(found.size() == 200);
  CHECK(std::set<int>(found.begin(), found.end()).size() == 200);
}

// DRYDEPTH_KILL_ROUNDS raises the number for a long run by hand.
TEST_CASE("writers killed at any moment lose nothing that was said to be logged") {
  WriterShelf shelf;
  const char* wanted = std::getenv("DRYDEPTH_KILL_ROUNDS");
  const int rounds = wanted ? std::atoi(wanted) : 150;
  std::mt19937 random(7);
  int killed = 0, logged = 0;
  for (int k = 0; k < rounds; ++k) {
    shelf.fresh();
    const auto life = std::chrono::microseconds(1 + random() % 25000);
    const Round round = race_writers(shelf.file, 0, 1000, life);
    killed += round.killed;
    const std::multiset<int> found = numbers_in(shelf.file);
    for (const int number : round.acknowledged) {
      INFO("round " << k << ", event " << number);
      REQUIRE(found.count(number) == 1);
    }
    // At most one change a writer was done and not yet told.
    REQUIRE(found.size() <= round.acknowledged.size() + 2);
    logged += static_cast<int>(round.acknowledged.size());
    REQUIRE(log_number(shelf.file, 5000));  // nothing stays locked
  }
  if (wanted) WARN(killed << " writers killed, " << logged << " events, none lost");
  // However slow the machine, some of both must have happened.
  CHECK(killed > 0);
  CHECK(logged > 0);
}

TEST_CASE("a new record never replaces one") {
  WriterShelf shelf;
  const SpoolRecord record = read(record_text(""));
  const auto again = create_record(shelf.file, record);
  REQUIRE_FALSE(again.has_value());
  CHECK(again.error().text() == shelf.file.string() +
                                    ": there is a spool with this id already; take "
                                    "another id, or log to that one");
  CHECK(create_record(shelf.path / "U.json", record).has_value());
}

TEST_CASE("a change that fails leaves the record alone") {
  WriterShelf shelf;
  const auto failed = update_record(shelf.file, [](const SpoolRecord&) {
    return Result<SpoolRecord>(Error{"here", "this cannot be", "do not"});
  });
  REQUIRE_FALSE(failed.has_value());
  CHECK(failed.error().text() == "here: this cannot be; do not");
  CHECK(load_record(shelf.file)->text == record_text(""));
}

}  // namespace
}  // namespace drydepth
