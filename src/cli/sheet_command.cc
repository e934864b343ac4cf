#include <memory>

#include "app/job/check_job.h"
#include "app/outputs/into.h"
#include "base/exit_code.h"
#include "base/files.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "page/figures.h"
#include "page/job_sheet.h"
#include "page/sheet_json.h"
#include "page/sheet_text.h"

namespace drydepth {
namespace {

struct SheetWords {
  JobWords on;
  IntoWords into;
  std::string job, output, svg;
  std::size_t width = 80;
  bool text = false;

  /// The findings go into other documents, and nothing else is asked for.
  bool only_into() const {
    return !into.files.empty() && !text && !on.shared.json && output.empty();
  }
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

std::string sheet_in_form(const Report& report, const SheetWords& words,
                          const LocalZone& zone) {
  if (words.on.shared.json) return pretty_json(sheet_json(report));
  return words.text ? sheet_text(report, zone, words.width) : job_sheet(report, zone);
}

int run_sheet(const SheetWords& words, const World& world) {
  auto checked = watched(world, [&](const Progress& progress) {
    return check_job({words.job, words.on, Actions()}, world.caller, progress);
  });
  if (!checked) return complain(world, checked.error());
  Report* const report = &checked->report;
  report->edits_written = false;
  const auto apart =
      keep_apart(targets_of(words.into, "--output", words.output), checked->read);
  if (!apart) return complain(world, apart.error());
  auto into = Into::prepare(words.into, *report, world.caller.zone);
  if (!into) return complain(world, into.error());
  add_courses(*report, words.on.shared.threads);
  if (!words.svg.empty()) {
    const auto drawn = write_figures(*report, words.svg, world.caller.zone);
    if (!drawn) return complain(world, drawn.error());
  }
  if (!words.only_into()) {
    const std::string sheet = sheet_in_form(*report, words, world.caller.zone);
    if (words.output.empty()) {
      print(world, sheet);
    } else {
      const auto written = write_whole_file(words.output, sheet);
      if (!written) return complain(world, written.error());
    }
  }
  const auto put = into->commit();
  if (!put) return complain(world, put.error());
  talk(world, *put);
  return kExitDone;
}

}  // namespace

CommandRun sheet_command(Command& app, const World& world) {
  auto words = std::make_shared<SheetWords>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  add_model_options(app, words->on.shared);
  app.add_option("-o,--output", words->output,
                 "File to write the sheet to; standard output where it is left out")
      .type_name("FILE");
  app.add_option("--svg", words->svg, "Folder to write each figure to as well")
      .type_name("DIR");
  app.add_flag("--text", words->text,
               "Plain lines for a terminal or a label printer in place of the page");
  app.add_option("--width", words->width, "Columns of those lines (24 to 200)")
      .capture_default_str()
      .between(kLeastColumns, kMostColumns)
      .type_name("N");
  add_into_options(app, words->into);
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->job, "Sliced G-code; read only").required();
  return [words, &world] { return run_sheet(*words, world); };
}

}  // namespace drydepth
