#include <memory>

#include "app/outputs/overwrite.h"
#include "app/shelf/estimate_spool.h"
#include "base/exit_code.h"
#include "base/files.h"
#include "base/json_value.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "page/label_svg.h"
#include "page/sheet_text.h"

namespace drydepth {
namespace {

struct LabelWords {
  SharedWords shared;
  std::string spool, output, size = "60x30mm";
  std::size_t width = 32;
  bool text = false;
};

Result<Label> label_of(const LabelWords& words, const World& world) {
  const auto settings = understand(words.shared, world.caller);
  if (!settings) return settings.error();
  const auto report = watched(world, [&](const Progress& progress) {
    return report_on_spool(words.spool, words.shared, world.caller, progress);
  });
  if (!report) return report.error();
  if (!words.output.empty()) {
    const auto apart =
        keep_apart({{"--output", words.output}}, {report->spools.front().of.path});
    if (!apart) return apart.error();
  }
  return make_label(*report, settings->places.room, world.caller.zone);
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
    print(world, *drawn);
    return kExitDone;
  }
  const auto written = write_whole_file(words.output, *drawn);
  return written ? static_cast<int>(kExitDone) : complain(world, written.error());
}

}  // namespace

CommandRun label_command(Command& app, const World& world) {
  auto words = std::make_shared<LabelWords>();
  app.add_option("-o,--output", words->output,
                 "File to write the label to; standard output where it is left out")
      .type_name("FILE");
  app.add_option("--size", words->size,
                 "Of the stock: width x height in millimetres, A7 or A8")
      .capture_default_str()
      .type_name("SIZE");
  app.add_flag("--text", words->text,
               "Plain lines for a terminal or a label printer in place of the drawing");
  app.add_option("--width", words->width, "Columns of those lines (24 to 200)")
      .capture_default_str()
      .between(kLeastColumns, kMostColumns)
      .type_name("N");
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      .required();
  return [words, &world] { return run_label(*words, world); };
}

}  // namespace drydepth
