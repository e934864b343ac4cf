// plan: what it takes to get jobs through on the spools at hand.

#include <memory>

#include "app/job/plan_jobs.h"
#include "base/exit_code.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "report/plan/plan_json.h"
#include "report/plan/plan_text.h"

namespace drydepth {
namespace {

int run_plan(const PlanRequest& words, const World& world) {
  const auto report = watched(world, [&](const Progress& progress) {
    return plan_jobs(words, world.caller, progress);
  });
  if (!report) return complain(world, report.error());
  print(world, words.on.shared.json ? pretty_json(plan_json(*report))
                                    : plan_text(*report, world.caller.zone));
  return kExitDone;
}

}  // namespace

CommandRun plan_command(Command& app, const World& world) {
  auto words = std::make_shared<PlanRequest>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  app.add_option("--dry", words->dry,
                 "Temperature of drying ahead of the job; default that of the live "
                 "dryer")
      .type_name("TEMP");
  app.add_option("--chance", words->chance,
                 "A way suffices while its chance to pass the limit is below this")
      .capture_default_str()
      .type_name("PERCENT");
  app.add_option("--between", words->between,
                 "Time from the end of one job to the start of the next")
      .type_name("TIME");
  add_model_options(app, words->on.shared);
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->jobs,
                 "Sliced G-code, read only; several run one after another")
      .required();
  return [words, &world] { return run_plan(*words, world); };
}

}  // namespace drydepth
