// shelf: the spools at hand, a line each. A record that cannot be read is named on
// standard error, the others are listed all the same, and the exit code says so.

#include <CLI/CLI.hpp>
#include <algorithm>
#include <functional>
#include <memory>

#include "base/exit_code.h"
#include "base/json_text.h"
#include "base/nearest.h"
#include "base/numbers.h"
#include "cli/commands.h"
#include "cli/progress.h"
#include "cli/settings.h"
#include "sheet/emphasis.h"
#include "spool/exposure.h"
#include "spool/shelf.h"

namespace drydepth {
namespace {

struct ShelfWords {
  SharedWords shared;
  std::string sort = "id";
};

struct ShelfRow {
  std::string id, material;
  Percentiles mean{}, depth_kg{};
  double left_kg = 0;
  std::optional<Instant> valid_until{};
  Exposure exposure{};
};

ShelfRow estimate_row(const ShelfWords& words, const Settings& settings,
                      const LoadedSpool& loaded, const World& world) {
  const Contest& contest = loaded.contest;
  const SpoolFit fit = fit_members(words.shared, loaded, world);
  const SpoolEstimate now =
      estimate_of(start_members(contest, fit.members, words.shared.threads));
  const bool cosmetic = settings.decides == LimitKind::kCosmetic;
  ShelfRow out{.id = contest.record.id,
               .material = contest.material.id,
               .mean = now.mean,
               .depth_kg = cosmetic ? now.cosmetic_depth_kg : now.strength_depth_kg,
               .left_kg = now.remaining_kg,
               .exposure = exposure_of(contest.timeline)};
  const auto seconds = valid_for_s(
      now, cosmetic ? &LaterDepth::cosmetic_kg : &LaterDepth::strength_kg, 0);
  if (seconds) {
    out.valid_until = settings.at + Seconds(static_cast<long long>(*seconds));
  }
  return out;
}

// Wet ones first, shallow ones last, in the sense of each word: what needs a look comes
// on top, but depth, where the best spool for the next job does.
using Before = std::function<bool(const ShelfRow&, const ShelfRow&)>;
std::optional<Before> order_of(const std::string& word) {
  if (word == "id") return [](const auto& a, const auto& b) { return a.id < b.id; };
  if (word == "moisture") {
    return [](const auto& a, const auto& b) { return a.mean.p50 > b.mean.p50; };
  }
  if (word == "depth") {
    return [](const auto& a, const auto& b) { return a.depth_kg.p50 > b.depth_kg.p50; };
  }
  if (word == "left") {
    return [](const auto& a, const auto& b) { return a.left_kg > b.left_kg; };
  }
  if (word == "hot") {
    return [](const auto& a, const auto& b) {
      return a.exposure.hot_s > b.exposure.hot_s;
    };
  }
  if (word == "exposure") {
    return [](const auto& a, const auto& b) {
      return a.exposure.since_drying_s.value_or(1e300) >
             b.exposure.since_drying_s.value_or(1e300);
    };
  }
  return std::nullopt;
}

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
    cells.push_back(
        {row.id, row.material, range_text(row.mean, 100, 2, settings.nominal),
         range_text(row.depth_kg, 1000, 0, settings.nominal),
         format_fixed(row.left_kg * 1000, 0),
         row.valid_until ? format_local(*row.valid_until, zone) : "-",
         hours_text(row.exposure.since_drying_s), hours_text(row.exposure.hot_s)});
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

struct ShelfRows {
  std::vector<ShelfRow> rows;
  std::vector<Error> errors;  // records that cannot be read
};

ShelfRows estimate_all(const ShelfWords& words, const Settings& settings,
                       const Rules& rules, const std::vector<std::string>& ids,
                       const World& world) {
  ShelfRows out;
  Progress progress(world, "estimating");
  for (std::size_t k = 0; k < ids.size(); ++k) {
    progress.phase("estimating " + ids[k] + ", " + std::to_string(k + 1) + " of " +
                   std::to_string(ids.size()));
    const auto loaded = load_spool(ids[k], settings, rules);
    if (loaded) {
      out.rows.push_back(estimate_row(words, settings, *loaded, world));
    } else {
      out.errors.push_back(loaded.error());
    }
  }
  return out;
}

int run_shelf(const ShelfWords& words, const World& world) {
  const auto order = order_of(words.sort);
  if (!order) {
    const std::vector<std::string> known{"id",   "moisture", "depth",
                                         "left", "exposure", "hot"};
    return complain(world, {"--sort", "unknown word \"" + words.sort + "\"",
                            did_you_mean(words.sort, known), kExitUsage});
  }
  const auto settings = understand(words.shared, world);
  if (!settings) return complain(world, settings.error());
  const auto rules = load_rules(words.shared);
  if (!rules) return complain(world, rules.error());
  const auto ids = list_shelf(settings->shelf);
  if (!ids) return complain(world, ids.error());
  int exit_code = kExitDone;
  auto [rows, errors] = estimate_all(words, *settings, *rules, *ids, world);
  for (const Error& error : errors) exit_code = complain(world, error);
  std::stable_sort(rows.begin(), rows.end(), *order);
  const std::string text = words.shared.json ? pretty_json(shelf_json(rows, *settings))
                           : rows.empty()
                               ? "no spools at " + settings->shelf.string() + "\n"
                               : shelf_text(rows, *settings, world.zone);
  const bool table = !words.shared.json && !rows.empty();
  world.out << (world.bold && table ? emphasised_table(text) : text);
  return exit_code;
}

}  // namespace

CommandRun shelf_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<ShelfWords>();
  app.add_option("--sort", words->sort, "By id, moisture, depth, left, exposure or hot")
      ->capture_default_str()
      ->type_name("WORD");
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  return [words, &world] { return run_shelf(*words, world); };
}

}  // namespace drydepth
