#include "app/shelf/estimate_spool.h"

#include <algorithm>
#include <cmath>

#include "app/shelf/kept_fit.h"
#include "app/shelf/load_spool.h"
#include "base/exit_code.h"
#include "base/numbers.h"
#include "guard/forecast.h"
#include "guard/sensitivity.h"
#include "record/typed/quantity.h"

namespace drydepth {
namespace {

// A heater no hotter than polymer and body stand.
Result<HeaterAir> read_heater(const std::string& word, const StatedAir& room,
                              const Spool& spool) {
  const auto temperature = parse_temperature_k(word);
  if (!temperature) {
    return Error{"--dry", temperature.error().what, temperature.error().hint,
                 kExitUsage};
  }
  const double ceiling = drying_ceiling_k(spool.material, spool.body);
  if (*temperature > ceiling + 1e-9) {
    return Error{"--dry",
                 word + " is above the " + format_fixed(ceiling - kZeroCelsiusK, 0) +
                     " C that " + spool.material.id + " on a " + spool.body.kind +
                     " body is rated for here",
                 "give a lower temperature", kExitUsage};
  }
  return HeaterAir{*temperature, room, {}, {}};
}

Result<double> read_mass(const char* option, const std::string& word) {
  const auto mass = parse_mass_kg(word);
  if (!mass) return Error{option, mass.error().what, mass.error().hint, kExitUsage};
  return *mass;
}

// What drying on would do (with --dry), and which reading would tell most.
Result<DryingReport> look_on(const EstimateRequest& words, Limit decides,
                             const Spool& spool, const SpoolFit& fit,
                             const EvidenceRules& evidence) {
  DryingReport out;
  const double limit = spool.limits[decides];
  const StatedAir room = std::get<StatedAir>(spool.room);
  const auto scale = read_mass("--scale", words.scale);
  if (!scale) return scale.error();
  out.scale_sd_kg = *scale;
  // Two weighings of the piece; 0.05 % of it is what they shall tell.
  constexpr double kPieceSd = 0.0005;
  out.piece_kg = std::sqrt(2.0) * out.scale_sd_kg / kPieceSd;
  AirSpec air = room;
  double drying_s = 0;
  if (!words.dry.empty()) {
    const auto heater = read_heater(words.dry, room, spool);
    if (!heater) return heater.error();
    out.heater = *heater;
    if (!words.need.empty()) {
      const auto need = read_mass("--need", words.need);
      if (!need) return need.error();
      out.need_kg = *need;
    }
    out.forecast = forecast_drying(spool, *heater, out.need_kg, limit,
                                   drying_ceiling_k(spool.material, spool.body),
                                   fit.members, words.shared.threads);
    air = *heater;
    drying_s = std::min(24.0, out.forecast.outer[1].value_or(12.0)) * kSecondsPerHour;
  }
  out.next = next_reading(
      spool, air, out.heater.has_value(), drying_s, limit, out.scale_sd_kg,
      piece_sd({.loss = spool.limits.cosmetic,
                .dried_k = spool.material.drying_max_c.value + kZeroCelsiusK,
                .room = room},
               spool.material, evidence.piece, kPieceSd),
      fit.members, words.shared.threads);
  return out;
}

// One exponential through the readings of the last drying.
Result<ExponentialReport> compare(const Spool& spool) {
  const Timeline& timeline = spool.timeline;
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
  const double net = out.fit.asymptote - tare_of(spool.priors, bodies);
  out.content = out.fit.amplitude * std::exp(-out.fit.rate * hours.back()) / net;
  return out;
}

// Shares of thirteen unknowns need members to tell them apart.
Result<Done> check_members(const SharedWords& words) {
  constexpr std::size_t kLeast = 3 * kUnknowns.size();
  if (words.nominal) {
    return Error{"--sensitivity",
                 "one run at central values has no spread to share out",
                 "leave --nominal out", kExitUsage};
  }
  if (words.members >= kLeast) return Done{};
  return Error{"--sensitivity",
               std::to_string(words.members) + " members cannot tell " +
                   std::to_string(kUnknowns.size()) + " unknowns apart",
               "give --members " + std::to_string(kLeast) + " or more", kExitUsage};
}

// A spool laid out, fitted and seen at one moment.
struct Seen {
  Settings settings;
  Rules rules;
  Spool spool;
  SpoolFit fit;
  Report report;
};

Result<Seen> look_at(const std::string& word, const SharedWords& words,
                     const Caller& caller, const Progress& progress) {
  const auto settings = understand(words, caller);
  if (!settings) return settings.error();
  auto rules = load_rules(words.rules);
  if (!rules) return rules.error();
  auto spool = load_spool(word, *settings, *rules);
  if (!spool) return spool.error();
  const auto fitting = std::make_shared<Tally>();
  tell(progress, "fitting the weighings", fitting);
  const SpoolFit fit = fit_members(words, *spool, caller.version, fitting.get());
  tell(progress, "replaying the spool's life");
  const SpoolEstimate now =
      estimate_of(start_members(*spool, fit.members, words.threads));
  Report out;
  out.version = caller.version;
  out.at = settings->at;
  out.nominal = settings->nominal;
  out.members = settings->nominal ? 1 : words.members;
  out.decides = settings->decides;
  out.spools.push_back(report_spool(*spool, fit, now));
  return Seen{*settings, *std::move(rules), *std::move(spool), fit, std::move(out)};
}

}  // namespace

Result<Report> report_on_spool(const std::string& spool, const SharedWords& words,
                               const Caller& caller, const Progress& progress) {
  auto seen = look_at(spool, words, caller, progress);
  if (!seen) return seen.error();
  return std::move(seen->report);
}

Result<Report> estimate_spool(const EstimateRequest& request, const Caller& caller,
                              const Progress& progress) {
  if (request.sensitivity) {
    const auto settings = understand(request.shared, caller);
    if (!settings) return settings.error();
    const auto enough = check_members(request.shared);
    if (!enough) return enough.error();
  }
  auto seen = look_at(request.spool, request.shared, caller, progress);
  if (!seen) return seen.error();
  const Spool& spool = seen->spool;
  Report out = std::move(seen->report);
  if (!out.nominal) {
    tell(progress, "looking ahead");
    auto drying = look_on(request, out.decides, spool, seen->fit, seen->rules.evidence);
    if (!drying) return drying.error();
    out.drying = *std::move(drying);
  }
  if (request.sensitivity) {
    out.sensitivity = find_sensitivity(spool, spool.limits[out.decides],
                                       seen->fit.members, request.shared.threads);
  }
  if (request.compare) {
    const auto exponential = compare(spool);
    if (!exponential) return exponential.error();
    out.exponential = *exponential;
  }
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace drydepth
