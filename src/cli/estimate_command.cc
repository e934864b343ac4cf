#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <memory>

#include "base/exit_code.h"
#include "base/numbers.h"
#include "cli/commands.h"
#include "cli/progress.h"
#include "cli/settings.h"
#include "guard/forecast.h"
#include "guard/inputs.h"
#include "sheet/emphasis.h"
#include "sheet/estimate_text.h"
#include "sheet/json.h"
#include "spool/quantity.h"

namespace drydepth {
namespace {

struct EstimateWords {
  SharedWords shared;
  std::string spool, dry, need, scale = "0.1g";
  bool compare = false, sensitivity = false;
};

// A heater no hotter than polymer and body stand.
Result<HeaterAir> read_heater(const std::string& word, const Settings& settings,
                              const LoadedSpool& spool) {
  const auto temperature = parse_temperature_k(word);
  if (!temperature) {
    return Error{"--dry", temperature.error().what, temperature.error().hint,
                 kExitUsage};
  }
  const double ceiling = drying_ceiling_k(spool);
  if (*temperature > ceiling + 1e-9) {
    return Error{"--dry",
                 word + " is above the " + format_fixed(ceiling - kZeroCelsiusK, 0) +
                     " C that " + spool.contest.material.id + " on a " +
                     spool.body.kind + " body is rated for here",
                 "give a lower temperature", kExitUsage};
  }
  return HeaterAir{*temperature, settings.room, {}, {}};
}

Result<double> read_mass(const char* option, const std::string& word) {
  const auto mass = parse_mass_kg(word);
  if (!mass) return Error{option, mass.error().what, mass.error().hint, kExitUsage};
  return *mass;
}

// What drying on would do (with --dry), and which reading would tell most.
Result<DryingReport> look_on(const EstimateWords& words, const Settings& settings,
                             const LoadedSpool& spool, const SpoolFit& fit,
                             const EvidenceRules& evidence) {
  DryingReport out;
  const Contest& contest = spool.contest;
  const double limit = settings.decides == LimitKind::kCosmetic
                           ? contest.limits.cosmetic
                           : contest.limits.strength;
  const auto scale = read_mass("--scale", words.scale);
  if (!scale) return scale.error();
  out.scale_sd_kg = *scale;
  // Two weighings of the piece; 0.05 % of it is what they shall tell.
  constexpr double kPieceSd = 0.0005;
  out.piece_kg = std::sqrt(2.0) * out.scale_sd_kg / kPieceSd;
  AirSpec air = settings.room;
  double drying_s = 0;
  if (!words.dry.empty()) {
    const auto heater = read_heater(words.dry, settings, spool);
    if (!heater) return heater.error();
    out.heater = *heater;
    if (!words.need.empty()) {
      const auto need = read_mass("--need", words.need);
      if (!need) return need.error();
      out.need_kg = *need;
    }
    out.forecast =
        forecast_drying(contest, *heater, out.need_kg, limit, drying_ceiling_k(spool),
                        fit.members, words.shared.threads);
    air = *heater;
    drying_s = std::min(24.0, out.forecast.outer[1].value_or(12.0)) * kSecondsPerHour;
  }
  out.next = next_reading(
      contest, air, out.heater.has_value(), drying_s, limit, out.scale_sd_kg,
      piece_sd({.loss = contest.limits.cosmetic,
                .dried_k = contest.material.drying_max_c.value + kZeroCelsiusK,
                .room = settings.room},
               contest.material, evidence.piece, kPieceSd),
      fit.members, words.shared.threads);
  return out;
}

// One exponential through the readings of the last drying.
Result<ExponentialReport> compare(const LoadedSpool& spool) {
  const Timeline& timeline = spool.contest.timeline;
  const auto last =
      std::find_if(timeline.spans.rbegin(), timeline.spans.rend(),
                   [](const Span& s) { return s.kind == SpanKind::kDrying; });
  std::vector<double> hours, gross;
  if (last != timeline.spans.rend()) {
    for (const ScaleReading& r : timeline.readings) {
      if (r.at < last->from || r.at > last->to) continue;
      hours.push_back(seconds_between(last->from, r.at) / kSecondsPerHour);
      gross.push_back(r.gross_kg);
    }
  }
  if (hours.size() < 4) {
    return Error{
        "--compare",
        "one exponential needs at least four weighings in one drying, the last "
        "has " +
            std::to_string(hours.size()),
        "log more, or leave --compare out"};
  }
  ExponentialReport out;
  out.readings = hours.size();
  out.fit = fit_exponential(hours, gross, ExponentialForm::kFree);
  const auto bodies = static_cast<std::size_t>(std::count_if(
      last, timeline.spans.rend(), [](const Span& s) { return s.respool; }));
  const double net = out.fit.asymptote - tare_of(spool.contest.priors, bodies);
  out.content = out.fit.amplitude * std::exp(-out.fit.rate * hours.back()) / net;
  return out;
}

// Shares of thirteen unknowns need members to tell them apart.
Result<Done> check_members(const SharedWords& words) {
  constexpr std::size_t kLeast = 3 * kUnknowns;
  if (words.nominal) {
    return Error{"--sensitivity",
                 "one run at central values has no spread to share out",
                 "leave --nominal out", kExitUsage};
  }
  if (words.members >= kLeast) return Done{};
  return Error{"--sensitivity",
               std::to_string(words.members) + " members cannot tell " +
                   std::to_string(kUnknowns) + " unknowns apart",
               "give --members " + std::to_string(kLeast) + " or more", kExitUsage};
}

Result<Report> estimate(const EstimateWords& words, const World& world) {
  const auto settings = understand(words.shared, world);
  if (!settings) return settings.error();
  if (words.sensitivity) {
    const auto enough = check_members(words.shared);
    if (!enough) return enough.error();
  }
  const auto rules = load_rules(words.shared);
  if (!rules) return rules.error();
  const auto loaded = load_spool(words.spool, *settings, *rules);
  if (!loaded) return loaded.error();
  const Contest& contest = loaded->contest;
  Tally fitting;
  Progress progress(world, "fitting the weighings", &fitting);
  const SpoolFit fit = fit_members(words.shared, *loaded, world, &fitting);
  progress.phase("replaying the spool's life");
  const SpoolEstimate now =
      estimate_of(start_members(contest, fit.members, words.shared.threads));
  Report out;
  out.version = world.version;
  out.at = settings->at;
  out.nominal = settings->nominal;
  out.members = settings->nominal ? 1 : words.shared.members;
  out.decides = settings->decides;
  out.spools.push_back(report_spool(contest, loaded->body, fit, now));
  out.spools.back().notes = loaded->notes;
  if (!settings->nominal) {
    progress.phase("looking ahead");
    auto drying = look_on(words, *settings, *loaded, fit, rules->evidence);
    if (!drying) return drying.error();
    out.drying = *std::move(drying);
  }
  if (words.sensitivity) {
    out.sensitivity = find_sensitivity(contest, deciding(contest.limits, out.decides),
                                       fit.members, words.shared.threads);
  }
  if (words.compare) {
    const auto exponential = compare(*loaded);
    if (!exponential) return exponential.error();
    out.exponential = *exponential;
  }
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace

CommandRun estimate_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<EstimateWords>();
  app.add_option("--dry", words->dry,
                 "Forecast of drying on at this temperature in a vented dryer")
      ->type_name("TEMP");
  app.add_option("--need", words->need,
                 "With --dry: grams from outside that a job wants")
      ->type_name("MASS");
  app.add_option("--scale", words->scale, "What your scale repeats to")
      ->capture_default_str()
      ->type_name("MASS");
  app.add_flag("--compare", words->compare,
               "Show what one exponential through the weighings would say");
  app.add_flag("--sensitivity", words->sensitivity,
               "Show what the answer hangs on, and how much");
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      ->required();
  return [words, &world] {
    const auto report = estimate(*words, world);
    if (!report) return complain(world, report.error());
    const std::string text = words->shared.json ? pretty_json(estimate_json(*report))
                                                : estimate_text(*report, world.zone);
    world.out << (world.bold && !words->shared.json ? emphasised(text) : text);
    return 0;
  };
}

}  // namespace drydepth
