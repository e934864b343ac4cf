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

Result<std::size_t> restore_file(const std::string& path) {
  const auto job = open_job(path);
  if (!job) return job.error();
  const auto blocks = read_blocks(job->text);
  if (!blocks) return blocks.error();
  if (blocks->empty()) return blocks->size();
  // Binary G-code with blocks in it was written by us.
  const auto written = write_job(
      path, *job, [&](const ByteSink& sink) { return restore(job->text, sink); },
      BinaryWriting::kTried);
  if (!written) return written.error();
  return blocks->size();
}

}  // namespace

CommandRun restore_command(CLI::App& app, const World& world) {
  auto job = std::make_shared<std::string>();
  app.add_option("JOB", *job, "A guarded job")->required();
  return [job, &world] {
    const auto taken = restore_file(*job);
    if (!taken) return complain(world, taken.error());
    world.out << *job << ": "
              << (*taken == 0
                      ? std::string("no edits found, left as it is")
                      : std::to_string(*taken) +
                            (*taken == 1 ? " block taken out" : " blocks taken out"))
              << "\n";
    return 0;
  };
}

}  // namespace drydepth
