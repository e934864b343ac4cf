// new and show: a spool's record.

#include <memory>

#include "app/shelf/start_record.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "record/shelf.h"
#include "report/history.h"

namespace drydepth {
namespace {

struct RecordWords {
  SharedWords shared;
  std::string spool;
};

Result<std::string> show_record(const RecordWords& words, const World& world) {
  const auto path = find_spool(shelf_folder(words.shared, world.caller), words.spool);
  if (!path) return path.error();
  const auto record = load_record(*path);
  if (!record) return record.error();
  return words.shared.json ? record->text : record_text(*record, world.caller.zone);
}

int answer(const World& world, const Result<std::string>& text) {
  if (!text) return complain(world, text.error());
  print(world, *text);
  return 0;
}

}  // namespace

CommandRun new_command(Command& app, const World& world) {
  auto words = std::make_shared<NewRequest>();
  NewSpool& s = words->spool;
  const auto take = [&](const char* name, Measure measure, std::optional<double>& value,
                        const char* help) {
    app.add_option(name, value, help).measure(measure);
  };
  using enum Measure;
  app.add_option("ID", s.id, "Name of the spool, also its file's").required();
  app.add_option("--material", s.material, "Material, e.g. pa6")
      .required()
      .type_name("MATERIAL");
  app.add_option("--diameter", s.diameter_mm, "Filament, mm")
      .capture_default_str()
      .measure(kMillimetres);
  take("--width", kMillimetres, s.width_mm, "Winding's width between the flanges, mm");
  take("--hub", kMillimetres, s.hub_mm, "Winding's inner diameter, mm");
  take("--outer", kMillimetres, s.outer_mm, "Winding's outer diameter when full, mm");
  take("--net", kGrams, s.net_g, "Filament as sold, g");
  take("--net-sd", kGrams, s.net_sd_g, "Its standard deviation, g");
  app.add_option("--body", s.body, "What the spool itself is made of")
      .capture_default_str()
      .type_name("BODY");
  take("--tare", kGrams, s.tare_g, "Empty spool, g");
  take("--tare-sd", kGrams, s.tare_sd_g, "Its standard deviation, g");
  app.add_flag("--hub-open", s.hub_open, "Air reaches the winding through the hub");
  app.add_option("--opened", words->opened, "When the bag was opened");
  take("--moisture", kPercent, s.moisture_percent,
       "Moisture at opening, % of dry mass");
  take("--moisture-sd", kPercent, s.moisture_sd_percent, "Its standard deviation, %");
  app.add_option("--layers", s.layers_percent,
                 "Or moisture by wound layer, outermost first: 0.4,0.6,...")
      .delimiter(',')
      .type_name("LIST");
  take("--temperature", kCelsius, s.temperature_c, "Temperature at opening, C");
  take("--opened-net", kGrams, s.opened_net_g, "Left on a spool begun elsewhere, g");
  app.add_option("--history", words->history,
                 "unknown: nobody knows where the spool has been since it was opened")
      .type_name("WORD");
  take("--opened-outer", kMillimetres, s.opened_outer_mm, "Or its outer diameter, mm");
  add_shelf_options(app, words->shared);
  return [words, &world] { return answer(world, start_record(*words, world.caller)); };
}

CommandRun show_command(Command& app, const World& world) {
  auto words = std::make_shared<RecordWords>();
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      .required();
  app.add_flag("--json", words->shared.json, "The record itself");
  return [words, &world] { return answer(world, show_record(*words, world)); };
}

}  // namespace drydepth
