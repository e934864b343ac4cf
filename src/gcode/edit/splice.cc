#include "gcode/edit/splice.h"

#include <algorithm>
#include <string>

#include "base/files.h"
#include "gcode/edit/blocks.h"
#include "gcode/edit/rewrite.h"

namespace drydepth {

Result<Done> splice(const std::filesystem::path& job, const std::vector<Edit>& edits,
                    std::uint64_t bytes) {
  const auto source = OpenFile::open(job);
  if (!source) return source.error();
  if (source->bytes() != bytes) {
    return Error{job.string(), "it has changed while it was read",
                 "wait until whoever writes it is done, and guard it again"};
  }
  auto out = AtomicFile::open(job);
  if (!out) return out.error();
  std::uint64_t at = 0;
  for (const Edit& edit : edits) {
    if (edit.offset < at || edit.offset > bytes) return misplaced(job.string(), edit);
    const auto end = source->read(edit.offset - std::min<std::uint64_t>(2, edit.offset),
                                  edit.offset);
    if (!end) return end.error();
    if (!end->ends_with('\n')) return misplaced(job.string(), edit);
    if (auto done = out->append(*source, at, edit.offset); !done) return done;
    if (auto done = out->write(block_text(edit, *end == "\r\n" ? "\r\n" : "\n"));
        !done) {
      return done;
    }
    at = edit.offset;
  }
  if (auto done = out->append(*source, at, bytes); !done) return done;
  return out->commit();
}

}  // namespace drydepth
