#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/files.h"
#include "gcode/edit/blocks.h"
#include "gcode/edit/edit.h"

namespace drydepth {

/// What a job is without our own blocks.
struct JobDigest {
  std::string sha256{};
  std::uint64_t bytes = 0;
  bool operator==(const JobDigest&) const = default;
};
/// Reads the job once, in pieces. Error as read_blocks.
Result<JobDigest> digest_job(const ByteSource& job);

/// One number for all edits of a job: where each stands, what it is, and its lines,
/// those of notes left out, since a stamp in a note cannot hold its own digest.
std::string digest_edits(const std::vector<Edit>& edits);

/// The edits that blocks stand for, with lines counted without our own blocks.
std::vector<Edit> edits_of(const std::vector<Block>& blocks);

}  // namespace drydepth
