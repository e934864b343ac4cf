#include <CLI/CLI.hpp>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "cli/commands.h"
#include "cli/overwrite.h"
#include "cli/progress.h"
#include "cli/settings.h"
#include "sheet/label_svg.h"
#include "sheet/sheet_text.h"

namespace drydepth {
namespace {

struct LabelWords {
  SharedWords shared;
  std::string spool, output, size = "60x30mm";
  std::size_t width = 32;
  bool text = false;
};

Result<Label> label_of(const LabelWords& words, const World& world) {
  const auto settings = understand(words.shared, world);
  if (!settings) return settings.error();
  const auto rules = load_rules(words.shared);
  if (!rules) return rules.error();
  const auto loaded = load_spool(words.spool, *settings, *rules);
  if (!loaded) return loaded.error();
  if (!words.output.empty()) {
    const auto apart = keep_apart({{"--output", words.output}}, {loaded->path});
    if (!apart) return apart.error();
  }
  const Contest& contest = loaded->contest;
  Progress progress(world, "fitting the weighings");
  const SpoolFit fit = fit_members(words.shared, *loaded, world);
  progress.phase("replaying the spool's life");
  const SpoolEstimate now =
      estimate_of(start_members(contest, fit.members, words.shared.threads));
  Report report;
  report.at = settings->at;
  report.nominal = settings->nominal;
  report.decides = settings->decides;
  report.spools.push_back(report_spool(contest, loaded->body, fit, now));
  return make_label(report, settings->room, world.zone);
}

int run_label(const LabelWords& words, const World& world) {
  const auto size = read_label_size(words.size);
  if (!size) return complain(world, size.error());
  const auto label = label_of(words, world);
  if (!label) return complain(world, label.error());
  const auto drawn = words.shared.json ? Result(pretty_json(label_json(*label)))
                     : words.text      ? Result(label_text(*label, words.width))
                                       : label_svg(*label, *size);
  if (!drawn) return complain(world, drawn.error());
  if (words.output.empty()) {
    world.out << *drawn;
    return kExitDone;
  }
  const auto written = write_whole_file(words.output, *drawn);
  return written ? static_cast<int>(kExitDone) : complain(world, written.error());
}

}  // namespace

CommandRun label_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<LabelWords>();
  app.add_option("-o,--output", words->output,
                 "File to write the label to; standard output where it is left out")
      ->type_name("FILE");
  app.add_option("--size", words->size,
                 "Of the stock: width x height in millimetres, A7 or A8")
      ->capture_default_str()
      ->type_name("SIZE");
  app.add_flag("--text", words->text,
               "Plain lines for a terminal or a label printer in place of the drawing");
  app.add_option("--width", words->width, "Columns of those lines (24 to 200)")
      ->capture_default_str()
      ->check(CLI::Range(kLeastColumns, kMostColumns))
      ->type_name("N");
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      ->required();
  return [words, &world] { return run_label(*words, world); };
}

}  // namespace drydepth
