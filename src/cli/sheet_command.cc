#include <CLI/CLI.hpp>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "cli/commands.h"
#include "cli/job_report.h"
#include "sheet/figures.h"
#include "sheet/job_sheet.h"

namespace drydepth {
namespace {

struct SheetWords {
  JobWords on;
  std::string job, output, svg;
};

Result<Done> write_figures(const Report& report, const std::filesystem::path& folder,
                           const LocalZone& zone) {
  for (const SpoolReport& spool : report.spools) {
    if (!spool.told) continue;
    std::vector<Chart> charts{race_chart(report, spool), depth_chart(report, spool)};
    if (auto course = course_chart(report, spool, zone)) charts.push_back(*course);
    for (const Chart& chart : charts) {
      auto written = write_whole_file(folder / (chart.id + ".svg"), chart_svg(chart));
      if (!written) return written;
    }
  }
  return Done{};
}

int run_sheet(const SheetWords& words, const World& world) {
  auto checked = report_job(words.on, Actions(), words.job, world);
  if (!checked) return complain(world, checked.error());
  Report* const report = &checked->report;
  report->edits_written = false;
  add_courses(*report, words.on);
  if (!words.svg.empty()) {
    const auto drawn = write_figures(*report, words.svg, world.zone);
    if (!drawn) return complain(world, drawn.error());
  }
  const std::string page = job_sheet(*report, world.zone);
  if (words.output.empty()) {
    world.out << page;
    return kExitDone;
  }
  const auto written = write_whole_file(words.output, page);
  return written ? static_cast<int>(kExitDone) : complain(world, written.error());
}

}  // namespace

void add_courses(Report& report, const JobWords& words) {
  for (SpoolReport& spool : report.spools) {
    if (!spool.told) continue;
    spool.course =
        weight_course(spool.record, spool.material, spool.priors, spool.timeline,
                      spool.fit.members, words.shared.threads);
  }
}

CommandRun sheet_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<SheetWords>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  add_model_options(app, words->on.shared);
  app.add_option("-o,--output", words->output,
                 "File to write the page to; standard output where it is left out")
      ->type_name("FILE");
  app.add_option("--svg", words->svg, "Folder to write each figure to as well")
      ->type_name("DIR");
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->job, "Sliced G-code; read only")->required();
  return [words, &world] { return run_sheet(*words, world); };
}

}  // namespace drydepth
