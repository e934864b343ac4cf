#include <CLI/CLI.hpp>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "cli/commands.h"
#include "cli/job_report.h"
#include "sheet/job_sheet.h"

namespace drydepth {
namespace {

struct SheetWords {
  JobWords on;
  std::string job, output;
};

int run_sheet(const SheetWords& words, const World& world) {
  auto report = report_job(words.on, words.job, world);
  if (!report) return complain(world, report.error());
  report->edits_written = false;
  const std::string page = sheet_of(*std::move(report), words.on, world);
  if (words.output.empty()) {
    world.out << page;
    return kExitDone;
  }
  const auto written = write_whole_file(words.output, page);
  return written ? static_cast<int>(kExitDone) : complain(world, written.error());
}

}  // namespace

std::string sheet_of(Report report, const JobWords& words, const World& world) {
  for (SpoolReport& spool : report.spools) {
    if (!spool.told) continue;
    spool.course =
        weight_course(spool.record, spool.material, spool.priors, spool.timeline,
                      spool.fit.members, words.shared.threads);
  }
  return job_sheet(report, world.zone);
}

CommandRun sheet_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<SheetWords>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  add_model_options(app, words->on.shared);
  app.add_option("-o,--output", words->output,
                 "File to write the page to; standard output where it is left out")
      ->type_name("FILE");
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->job, "Sliced G-code; read only")->required();
  return [words, &world] { return run_sheet(*words, world); };
}

}  // namespace drydepth
