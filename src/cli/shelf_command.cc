// shelf: the spools at hand, a line each. A record that cannot be read is named on
// standard error, the others are listed all the same, and the exit code says so.

#include <algorithm>
#include <memory>

#include "app/shelf/survey_shelf.h"
#include "base/exit_code.h"
#include "base/json_value.h"
#include "base/numbers.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"

namespace drydepth {
namespace {

struct ShelfWords {
  SharedWords shared;
  std::string sort = "id";
};

std::string range_text(const Percentiles& p, double factor, int decimals,
                       bool nominal) {
  const auto number = [&](double v) { return format_fixed(v * factor, decimals); };
  if (nominal) return number(p.p50);
  return number(p.p50) + " (" + number(p.p10) + "-" + number(p.p90) + ")";
}

std::string hours_text(std::optional<double> seconds) {
  return seconds ? format_fixed(*seconds / kSecondsPerHour, 0) : "-";
}

std::string shelf_text(const std::vector<ShelfRow>& rows, const Settings& settings,
                       const LocalZone& zone) {
  std::vector<std::vector<std::string>> cells{{"spool", "material", "moisture %",
                                               "dry depth g", "left g", "valid until",
                                               "out h", "hot h"}};
  for (const ShelfRow& row : rows) {
    cells.push_back({shown(row.id), shown(row.material),
                     range_text(row.mean, 100, 2, settings.nominal),
                     range_text(row.depth_kg, 1000, 0, settings.nominal),
                     format_fixed(row.left_kg * 1000, 0),
                     row.valid_until ? format_local(*row.valid_until, zone) : "-",
                     hours_text(row.exposure.since_drying_s),
                     hours_text(row.exposure.hot_s)});
  }
  std::string out;
  for (const auto& line : cells) {
    std::string text;
    for (std::size_t c = 0; c < line.size(); ++c) {
      std::size_t width = 0;
      for (const auto& other : cells) width = std::max(width, other[c].size());
      const std::string pad(width - line[c].size(), ' ');
      text += (c > 0 ? "  " : "") + (c < 2 ? line[c] + pad : pad + line[c]);
    }
    out += text.substr(0, text.find_last_not_of(' ') + 1) + "\n";
  }
  out += "Estimates: p50 (p10-p90). Depth below the " +
         std::string(limit_name(settings.decides)) +
         " limit; out: hours since the last drying; hot: hours above 60 C, ever.\n";
  return out;
}

Json range_json(const Percentiles& p, double factor, bool nominal) {
  if (nominal) return p.p50 * factor;
  return {{"p10", p.p10 * factor}, {"p50", p.p50 * factor}, {"p90", p.p90 * factor}};
}

Json shelf_json(const std::vector<ShelfRow>& rows, const Settings& settings) {
  Json out{{"format", "drydepth-shelf/1"},
           {"at", format_instant(settings.at)},
           {"limit", std::string(limit_name(settings.decides))},
           {"spools", Json::array()}};
  for (const ShelfRow& row : rows) {
    Json entry{{"id", row.id}, {"material", row.material}};
    entry["mean_percent"] = range_json(row.mean, 100, settings.nominal);
    entry["dry_depth_g"] = range_json(row.depth_kg, 1000, settings.nominal);
    entry["left_g"] = row.left_kg * 1000;
    entry["valid_until"] = nullptr;
    if (row.valid_until) entry["valid_until"] = format_instant(*row.valid_until);
    entry["since_drying_h"] = nullptr;
    if (row.exposure.since_drying_s) {
      entry["since_drying_h"] = *row.exposure.since_drying_s / kSecondsPerHour;
    }
    entry["hot_h"] = row.exposure.hot_s / kSecondsPerHour;
    out["spools"].push_back(entry);
  }
  return out;
}

int run_shelf(const ShelfWords& words, const World& world) {
  const auto survey = watched(world, [&](const Progress& progress) {
    return survey_shelf(words.sort, words.shared, world.caller, progress);
  });
  if (!survey) return complain(world, survey.error());
  const auto& [settings, rows, errors] = *survey;
  int exit_code = kExitDone;
  for (const Error& error : errors) exit_code = complain(world, error);
  const std::string text = words.shared.json ? pretty_json(shelf_json(rows, settings))
                           : rows.empty()
                               ? "no spools at " + shown(settings.shelf.string()) + "\n"
                               : shelf_text(rows, settings, world.caller.zone);
  const bool table = !words.shared.json && !rows.empty();
  print(world, text, table ? Bold::kFirstLine : Bold::kNothing);
  return exit_code;
}

}  // namespace

CommandRun shelf_command(Command& app, const World& world) {
  auto words = std::make_shared<ShelfWords>();
  app.add_option("--sort", words->sort, "By id, moisture, depth, left, exposure or hot")
      .capture_default_str()
      .type_name("WORD");
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  return [words, &world] { return run_shelf(*words, world); };
}

}  // namespace drydepth
