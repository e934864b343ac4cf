#include <CLI/CLI.hpp>
#include <memory>

#include "base/files.h"
#include "cli/commands.h"
#include "cli/settings.h"
#include "gcode/blocks.h"
#include "gcode/rewrite.h"

namespace drydepth {
namespace {

Result<std::size_t> restore_file(const std::string& job) {
  const auto blocks = read_blocks(file_source(job));
  if (!blocks) return blocks.error();
  if (blocks->empty()) return blocks->size();
  auto file = AtomicFile::open(job);
  if (!file) return file.error();
  std::optional<Error> failure;
  const auto done = restore(file_source(job), [&](std::string_view bytes) {
    const auto written = file->write(bytes);
    if (!written) failure = written.error();
    return written.has_value();
  });
  if (failure) return *failure;
  if (!done) return done.error();
  const auto committed = file->commit();
  if (!committed) return committed.error();
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
