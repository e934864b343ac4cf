#include <CLI/CLI.hpp>
#include <memory>

#include "base/files.h"
#include "cli/commands.h"
#include "cli/settings.h"
#include "gcode/blocks.h"
#include "gcode/container.h"
#include "gcode/rewrite.h"

namespace drydepth {
namespace {

struct TakenOut {
  std::size_t blocks = 0, lines = 0;
};

Result<TakenOut> restore_file(const std::string& path) {
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

std::string taken_text(const TakenOut& taken) {
  if (taken.blocks + taken.lines == 0) return "no edits found, left as it is";
  const auto counted = [](std::size_t n, const std::string& what) {
    return std::to_string(n) + " " + what + (n == 1 ? "" : "s");
  };
  std::string out = counted(taken.blocks, "block") + " taken out";
  if (taken.lines > 0) out += ", " + counted(taken.lines, "line") + " as before";
  return out;
}

}  // namespace

CommandRun restore_command(CLI::App& app, const World& world) {
  auto job = std::make_shared<std::string>();
  app.add_option("JOB", *job, "A guarded job")->required();
  return [job, &world] {
    const auto taken = restore_file(*job);
    if (!taken) return complain(world, taken.error());
    world.out << *job << ": " << taken_text(*taken) << "\n";
    return 0;
  };
}

}  // namespace drydepth
