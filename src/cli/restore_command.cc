#include <memory>

#include "app/job/restore_job.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/print.h"

namespace drydepth {
namespace {

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

CommandRun restore_command(Command& app, const World& world) {
  auto job = std::make_shared<std::string>();
  app.add_option("JOB", *job, "A guarded job").required();
  return [job, &world] {
    const auto taken = restore_job(*job);
    if (!taken) return complain(world, taken.error());
    print(world, shown(*job) + ": " + taken_text(*taken) + "\n");
    return 0;
  };
}

}  // namespace drydepth
