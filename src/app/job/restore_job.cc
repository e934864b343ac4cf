#include "app/job/restore_job.h"

#include "gcode/container/container.h"
#include "gcode/edit/blocks.h"
#include "gcode/edit/rewrite.h"

namespace drydepth {

Result<TakenOut> restore_job(const std::string& path) {
  const auto job = open_job(path);
  if (!job) return job.error();
  const auto blocks = read_blocks(job->text);
  if (!blocks) return blocks.error();
  TakenOut out;
  for (const Block& block : *blocks) {
    ++(block.action == kWasAction ? out.lines : out.blocks);
  }
  if (blocks->empty()) return out;
  // Binary G-code with blocks in it was written by us.
  const auto written = write_job(
      path, *job, [&](const ByteSink& sink) { return restore(job->text, sink); },
      BinaryWriting::kTried);
  if (!written) return written.error();
  return out;
}

}  // namespace drydepth
