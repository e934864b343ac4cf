#include "gcode/edit/digest.h"

#include "base/digests.h"

namespace drydepth {

Result<JobDigest> digest_job(const ByteSource& job) {
  Sha256 digest;
  JobDigest out;
  BlockStripper stripper(job.name, [&](std::string_view piece) {
    digest.add(piece);
    out.bytes += piece.size();
    return true;
  });
  const auto read =
      job.read([&](std::string_view piece) { return stripper.feed(piece); });
  if (!read) return read.error();
  if (const auto whole = stripper.finish(); !whole) return whole.error();
  out.sha256 = digest.hex();
  return out;
}

std::string digest_edits(const std::vector<Edit>& edits) {
  Sha256 digest;
  for (const Edit& edit : edits) {
    digest.add(std::to_string(edit.line) + " " + edit.action + "\n");
    if (edit.action == "note") continue;
    for (const std::string& line : edit.lines) digest.add(line + "\n");
  }
  return digest.hex().substr(0, 16);
}

std::vector<Edit> edits_of(const std::vector<Block>& blocks) {
  std::vector<Edit> out;
  std::uint64_t ours = 0;
  for (const Block& block : blocks) {
    const std::uint64_t line = block.line - ours;
    out.push_back({.line = line, .action = block.action, .lines = block.lines});
    if (block.action == kWasAction) {
      out.push_back({.line = line + 1,
                     .action = std::string(kNowAction),
                     .lines = {block.lines[1]}});
    }
    ours += added_lines(block);
  }
  return out;
}

}  // namespace drydepth
