#include "gcode/edit/digest.h"

#include <catch2/catch.hpp>

#include "base/digests.h"
#include "gcode/edit/rewrite.h"

using namespace drydepth;

namespace {

const std::string kJob = "; a job\nG28\nG1 X1 E1\nG1 X2 E2\nM84\n";

const std::vector<Edit> kEdits = {
    {.offset = 8, .line = 2, .action = "note", .lines = {";drydepth: one", ";two"}},
    {.offset = 21, .line = 4, .action = "message", .lines = {"M117 wet wraps now"}}};

std::string with_edits(const std::vector<Edit>& edits) {
  std::string out;
  REQUIRE(rewrite(memory_source("job", kJob), edits, [&](std::string_view piece) {
    out += piece;
    return true;
  }));
  return out;
}

std::string edits_in(const std::string& job) {
  const auto blocks = read_blocks(memory_source("job", job));
  REQUIRE(blocks);
  return digest_edits(edits_of(*blocks));
}

}  // namespace

TEST_CASE("a job's digest is that of its bytes, with our blocks or without") {
  for (const std::string& job : {kJob, with_edits(kEdits)}) {
    for (const std::size_t piece : {1U, 7U, 4096U}) {
      INFO(piece);
      const auto digest = digest_job(memory_source("job", job, piece));
      REQUIRE(digest);
      CHECK(digest->sha256 == sha256_hex(kJob));
      CHECK(digest->bytes == kJob.size());
    }
  }
}

TEST_CASE("blocks in a job are the edits that were put in") {
  CHECK(edits_in(with_edits(kEdits)) == digest_edits(kEdits));
  std::vector<Edit> moved = kEdits, other = kEdits, fewer = kEdits, note = kEdits;
  moved[1].offset = 12;
  moved[1].line = 3;
  other[1].lines = {"M117 wet wraps in 9 g"};
  fewer.pop_back();
  note[0].lines[1] = ";three";
  for (const auto& edits : {moved, other, fewer}) {
    CHECK(edits_in(with_edits(edits)) != digest_edits(kEdits));
  }
  CHECK(edits_in(with_edits(note)) == digest_edits(kEdits));  // guarded by its check
}
