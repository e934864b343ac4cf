#include <memory>

#include "app/shelf/estimate_spool.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "report/estimate_text.h"
#include "report/json.h"

namespace drydepth {

CommandRun estimate_command(Command& app, const World& world) {
  auto words = std::make_shared<EstimateRequest>();
  app.add_option("--dry", words->dry,
                 "Forecast of drying on at this temperature in a vented dryer")
      .type_name("TEMP");
  app.add_option("--need", words->need,
                 "With --dry: grams from outside that a job wants")
      .type_name("MASS");
  app.add_option("--scale", words->scale, "What your scale repeats to")
      .capture_default_str()
      .type_name("MASS");
  app.add_flag("--compare", words->compare,
               "Show what one exponential through the weighings would say");
  app.add_flag("--sensitivity", words->sensitivity,
               "Show what the answer hangs on, and how much");
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      .required();
  return [words, &world] {
    const auto report = watched(world, [&](const Progress& progress) {
      return estimate_spool(*words, world.caller, progress);
    });
    if (!report) return complain(world, report.error());
    const std::string text = words->shared.json
                                 ? pretty_json(estimate_json(*report))
                                 : estimate_text(*report, world.caller.zone);
    print(world, text, words->shared.json ? Bold::kNothing : Bold::kHeadings);
    return 0;
  };
}

}  // namespace drydepth
