#include "gcode/edit/rewrite.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "gcode/edit/blocks.h"
#include "gcode/job.h"

using namespace drydepth;

namespace {

std::string rewritten(const std::string& job, const std::vector<Edit>& edits,
                      std::size_t piece = kFilePieceBytes) {
  std::string out;
  const auto done = rewrite(memory_source("job.gcode", job, piece), edits,
                            [&out](std::string_view bytes) {
                              out.append(bytes);
                              return true;
                            });
  return done ? out : done.error().text();
}

std::string restored(const std::string& job, std::size_t piece = kFilePieceBytes) {
  return rewritten(job, {}, piece);
}

Edit edit(std::uint64_t offset, std::vector<std::string> lines = {"M117 wet soon"}) {
  return {offset, 2, "message", std::move(lines)};
}

/// Edits at up to `most` random line starts below the first line.
std::vector<Edit> random_edits(const std::string& job, std::mt19937& random,
                               unsigned most) {
  std::vector<std::uint64_t> starts;
  for (std::size_t i = 0; i < job.size(); ++i) {
    if (job[i] == '\n') starts.push_back(i + 1);
  }
  std::vector<Edit> edits;
  if (starts.empty()) return edits;
  for (unsigned i = 0; i < most; ++i) {
    const std::vector<std::string> lines(random() % 3,
                                         ";drydepth: note " + std::to_string(i));
    edits.push_back(edit(starts[random() % starts.size()], lines));
  }
  std::stable_sort(edits.begin(), edits.end(),
                   [](const Edit& a, const Edit& b) { return a.offset < b.offset; });
  return edits;
}

/// Bytes that no decent slicer writes.
std::string hostile_job(std::mt19937& random) {
  const std::string parts[] = {"G1 X1 E1\n",
                               "G1 X2 E2\r\n",
                               "\n",
                               "\r",
                               "\r\n",
                               std::string("\0\0\n", 3),
                               "; \xff\xfe caf\xe9\n",
                               ";drydepth",
                               ";drydepth: not ours\n",
                               ";dry\n",
                               "; ;drydepth:begin x\n",
                               std::string(300, 'x'),
                               "\n\n"};
  std::string job;
  for (auto n = random() % 40; n > 0; --n) {
    job += parts[random() % std::size(parts)];
  }
  return job;
}

}  // namespace

TEST_CASE("a block is marked, counted and checked") {
  // The check value is the CRC-32 of "message", LF, "M117 wet soon" (zlib's crc32 gives
  // the same).
  CHECK(block_text(edit(0), "\n") ==
        ";drydepth:begin message lines=1 check=2d6182ca\n"
        "M117 wet soon\n"
        ";drydepth:end\n");
}

TEST_CASE("blocks go in at their offsets and take the line end before them") {
  const std::string job = "; one\nG1 X1\r\nG1 X2\n";
  const std::string out = rewritten(job, {edit(6), edit(13), edit(19)});
  CHECK(out == "; one\n" + block_text(edit(0), "\n") + "G1 X1\r\n" +
                   block_text(edit(0), "\r\n") + "G1 X2\n" + block_text(edit(0), "\n"));
  CHECK(restored(out) == job);
}

TEST_CASE("an edit that is not at a line start is refused") {
  const std::string job = "; one\nG1 X1\nG1 X2";
  for (const std::uint64_t offset : {0u, 3u, 17u, 99u}) {
    INFO(offset);
    CHECK(rewritten(job, {edit(offset)}) ==
          "job.gcode:2: no block can be put in here: byte " + std::to_string(offset) +
              " is not the start of a line below the first; slice the job again, since "
              "it may have changed while it was read");
  }
  CHECK(rewritten(job, {edit(12), edit(6)}).starts_with("job.gcode:2: no block"));
}

TEST_CASE("restoring gives back every byte of every sample") {
  std::mt19937 random(7);
  for (const std::string& name : test::sample_names()) {
    INFO(name);
    const std::string job = test::sample(name);
    REQUIRE(job.size() > 1000);
    REQUIRE(rewritten(job, {}) == job);
    const auto edits = random_edits(job, random, 9);
    const std::string guarded = rewritten(job, edits);
    REQUIRE(guarded != job);
    REQUIRE(restored(guarded) == job);
    REQUIRE(rewritten(guarded, edits) == guarded);
  }
}

TEST_CASE("restoring gives back every byte of hostile jobs, in any pieces") {
  std::mt19937 random(20260302);
  int guarded_jobs = 0;
  for (int i = 0; i < 400; ++i) {
    const std::string job = hostile_job(random);
    const auto edits = random_edits(job, random, 4);
    const std::string guarded = rewritten(job, edits);
    INFO(i);
    guarded_jobs += guarded != job;
    REQUIRE(rewritten(job, edits, 1) == guarded);
    REQUIRE(restored(guarded) == job);
    REQUIRE(restored(guarded, 1) == job);
    REQUIRE(restored(guarded, 7) == job);
    REQUIRE(rewritten(guarded, edits, 7) == guarded);
  }
  CHECK(guarded_jobs > 300);
}

TEST_CASE("a changed block is refused with its line") {
  const std::string job = "; one\nG1 X1\nG1 X2\n";
  const std::string good =
      rewritten(job, {edit(6, {"M117 wet soon", ";drydepth: to 84 m"})});
  const auto replaced = [&good](const std::string& from, const std::string& to) {
    std::string text = good;
    const auto at = text.find(from);
    return at == text.npos ? std::string("?") : text.replace(at, from.size(), to);
  };
  const std::string changed =
      "this drydepth block was changed by hand or by another "
      "program";
  const struct {
    const char* label;
    std::string job;
    std::string what;
  } rows[] = {
      {"text", replaced("wet", "dry"), changed},
      {"action", replaced("begin message", "begin pause"), changed},
      {"line gone", replaced("M117 wet soon\n", ""), changed},
      {"line added", replaced("M117", "M0\nM117"),
       "this drydepth block holds more lines than were put in, or no end"},
      {"marker", replaced("lines=2", "lines=two"),
       "this drydepth block has a changed first line"},
      {"end gone", replaced(";drydepth:end\n", ""),
       "this drydepth block holds more lines than were put in, or no end"},
      {"cut off", good.substr(0, good.find("M117")), "this drydepth block has no end"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const std::string line = "job.gcode:2: ";
    CHECK(restored(row.job) ==
          line + row.what +
              "; take the whole block out by hand, or slice the job again");
    CHECK(restored(row.job, 1) == restored(row.job));
    const auto trace = test::scan_text(row.job, test::options());
    REQUIRE_FALSE(trace);
    CHECK(trace.error().text() == restored(row.job));
  }
  CHECK(
      restored(replaced(";drydepth:begin", ";x")) ==
      "job.gcode:5: a drydepth block ends here that never began; take the whole block "
      "out by hand, or slice the job again");
}

TEST_CASE("a block survives a change of all line ends") {
  const std::string job = "; one\nG1 X1\n";
  std::string text = rewritten(job, {edit(6)});
  for (std::size_t at = 0; (at = text.find('\n', at)) != text.npos; at += 2) {
    text.insert(at, "\r");
  }
  CHECK(restored(text) == "; one\r\nG1 X1\r\n");
}

TEST_CASE("a guarded job has the trace of the job itself") {
  const std::string job = test::sample("ps25_cube_marlin2_relE.gcode");
  std::mt19937 random(3);
  const std::string guarded = rewritten(job, random_edits(job, random, 20));
  const auto plain = test::scan_text(job, test::options());
  const auto again = test::scan_text(guarded, test::options());
  REQUIRE(plain);
  REQUIRE(again);
  CHECK_FALSE(plain->guarded);
  CHECK(again->guarded);
  CHECK(again->bytes == plain->bytes);
  CHECK(again->lines == plain->lines);
  CHECK(again->header_offset == plain->header_offset);
  CHECK(again->tools.front().length_mm == plain->tools.front().length_mm);
  CHECK(again->layers.back().insert_offset == plain->layers.back().insert_offset);
}

TEST_CASE("blocks can be read back") {
  const std::string job = "; one\nG1 X1\nG1 X2\n";
  const std::string guarded =
      rewritten(job, {edit(6, {"; a", "; b"}), edit(12, {"M117 wet"})});
  const auto blocks = read_blocks(memory_source("job.gcode", guarded));
  REQUIRE(blocks);
  REQUIRE(blocks->size() == 2);
  CHECK(blocks->at(0).line == 2);
  CHECK(blocks->at(0).lines == std::vector<std::string>{"; a", "; b"});
  CHECK(blocks->at(1).line == 7);
  CHECK(blocks->at(1).action == "message");
}

TEST_CASE("a sink that wants no more ends it without an error") {
  int pieces = 0;
  CHECK(rewrite(memory_source("job", test::sample("ps25_cube_smoothie.gcode"), 100), {},
                [&pieces](std::string_view) { return ++pieces < 3; }));
  CHECK(pieces == 3);
}
