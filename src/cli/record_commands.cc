// new and show: a spool's record.

#include <CLI/CLI.hpp>
#include <algorithm>
#include <memory>

#include "base/exit_code.h"
#include "cli/commands.h"
#include "cli/measure_words.h"
#include "cli/settings.h"
#include "sheet/history.h"
#include "spool/amend.h"
#include "spool/quantity.h"
#include "spool/shelf.h"

namespace drydepth {
namespace {

struct NewWords {
  SharedWords shared;
  NewSpool spool;
  std::string opened, history;
};

struct RecordWords {
  SharedWords shared;
  std::string spool;
};

std::string lower(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

// PA6 is what the label says, and pa6 the id.
template <class T>
std::string id_as_written(const std::string& typed, const std::vector<T>& known,
                          std::string T::*id) {
  const auto same = std::find_if(known.begin(), known.end(), [&](const T& one) {
    return lower(one.*id) == lower(typed);
  });
  return same == known.end() ? typed : (*same).*id;
}

Result<std::string> start_record(NewWords words, const World& world) {
  const auto rules = load_rules(words.shared);
  if (!rules) return rules.error();
  if (!words.opened.empty()) {
    const auto at = parse_moment(words.opened, world.now, world.zone, Lean::kPast);
    if (!at) {
      return Error{"--opened", at.error().what, at.error().hint, at.error().exit_code};
    }
    words.spool.opened = *at;
  }
  if (words.history == "unknown") {
    words.spool.history_unknown = true;
  } else if (!words.history.empty()) {
    return Error{"--history", "\"" + words.history + "\" is no history",
                 "write unknown, or leave it out", kExitUsage};
  }
  words.spool.material =
      id_as_written(words.spool.material, rules->materials, &Material::id);
  words.spool.body = id_as_written(words.spool.body, rules->bodies, &Body::kind);
  const auto path = new_spool_path(shelf_folder(words.shared, world), words.spool.id);
  if (!path) return path.error();
  const auto record = make_record(words.spool, path->filename().string(),
                                  rules->materials, rules->bodies);
  if (!record) return record.error();
  // A first spool begins the shelf. Where that fails, saving says why.
  std::error_code ignored;
  std::filesystem::create_directories(path->parent_path(), ignored);
  const auto saved = create_spool(*path, *record);
  if (!saved) return saved.error();
  return record->id + ": " + record->material + " on " + record->body.kind +
         ", record at " + path->string() + "\n";
}

Result<std::string> show_record(const RecordWords& words, const World& world) {
  const auto path = find_spool(shelf_folder(words.shared, world), words.spool);
  if (!path) return path.error();
  const auto record = load_spool(*path);
  if (!record) return record.error();
  return words.shared.json ? record->text : record_text(*record, world.zone);
}

int answer(const World& world, const Result<std::string>& text) {
  if (!text) return complain(world, text.error());
  world.out << *text;
  return 0;
}

}  // namespace

CommandRun new_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<NewWords>();
  NewSpool& s = words->spool;
  const auto take = [&](const char* name, Measure measure, std::optional<double>& value,
                        const char* help) {
    take_unit(app.add_option(name, value, help), measure);
  };
  using enum Measure;
  app.add_option("ID", s.id, "Name of the spool, also its file's")->required();
  app.add_option("--material", s.material, "Material, e.g. pa6")
      ->required()
      ->type_name("MATERIAL");
  take_unit(app.add_option("--diameter", s.diameter_mm, "Filament, mm")
                ->capture_default_str(),
            kMillimetres);
  take("--width", kMillimetres, s.width_mm, "Winding's width between the flanges, mm");
  take("--hub", kMillimetres, s.hub_mm, "Winding's inner diameter, mm");
  take("--outer", kMillimetres, s.outer_mm, "Winding's outer diameter when full, mm");
  take("--net", kGrams, s.net_g, "Filament as sold, g");
  take("--net-sd", kGrams, s.net_sd_g, "Its standard deviation, g");
  app.add_option("--body", s.body, "What the spool itself is made of")
      ->capture_default_str()
      ->type_name("BODY");
  take("--tare", kGrams, s.tare_g, "Empty spool, g");
  take("--tare-sd", kGrams, s.tare_sd_g, "Its standard deviation, g");
  app.add_flag("--hub-open", s.hub_open, "Air reaches the winding through the hub");
  app.add_option("--opened", words->opened, "When the bag was opened");
  take("--moisture", kPercent, s.moisture_percent,
       "Moisture at opening, % of dry mass");
  take("--moisture-sd", kPercent, s.moisture_sd_percent, "Its standard deviation, %");
  app.add_option("--layers", s.layers_percent,
                 "Or moisture by wound layer, outermost first: 0.4,0.6,...")
      ->delimiter(',')
      ->type_name("LIST");
  take("--temperature", kCelsius, s.temperature_c, "Temperature at opening, C");
  take("--opened-net", kGrams, s.opened_net_g, "Left on a spool begun elsewhere, g");
  app.add_option("--history", words->history,
                 "unknown: nobody knows where the spool has been since it was opened")
      ->type_name("WORD");
  take("--opened-outer", kMillimetres, s.opened_outer_mm, "Or its outer diameter, mm");
  add_shelf_options(app, words->shared);
  return [words, &world] { return answer(world, start_record(*words, world)); };
}

CommandRun show_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<RecordWords>();
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      ->required();
  app.add_flag("--json", words->shared.json, "The record itself");
  return [words, &world] { return answer(world, show_record(*words, world)); };
}

}  // namespace drydepth
