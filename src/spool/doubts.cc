#include "spool/doubts.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/numbers.h"
#include "moisture/polymer.h"
#include "record/unit_slip.h"
#include "spool/finding_checks.h"
#include "spool/span_doubts.h"
#include "spool/timeline.h"

namespace drydepth {
namespace {

// Net masses run up to 5 % above the label (common practice, no source); as much below.
constexpr double kLabelTolerance = 0.05;
// Air that a spool hardly stands in for long: design value.
constexpr double kDampAir = 0.8;
// Out of a dryer a spool may lose as much as this before somebody printed from it:
// design value, kg/kg.
constexpr double kQuietLoss = 0.01;
constexpr double kSigmas = 3;

struct Stretch {
  const Interval* interval = nullptr;
  Instant from{};
  Instant to{};
};

// The intervals that begin before a moment, cut there.
std::vector<Stretch> stretches_until(const SpoolRecord& record, Instant at) {
  std::vector<Stretch> out;
  for (const Event& event : record.events) {
    const auto* interval = std::get_if<Interval>(&event);
    if (interval == nullptr || interval->from >= at) continue;
    if (!out.empty()) out.back().to = std::min(out.back().to, interval->from);
    out.push_back({interval, interval->from, std::min(interval->to.value_or(at), at)});
  }
  return out;
}

double seconds_within(const Stretch& s, Instant from) {
  return std::max(0.0, seconds_between(std::max(s.from, from), s.to));
}

// What happened between two moments.
struct Meanwhile {
  double used_kg = 0, used_variance = 0;
  double drying_s = 0;
};

Meanwhile meanwhile(const std::vector<Stretch>& stretches, Instant from, Instant to) {
  Meanwhile out;
  for (const Stretch& s : stretches) {
    const double within_s = seconds_within(s, from);
    if (s.interval->kind == SpanKind::kDrying) out.drying_s += within_s;
    if (s.interval->used_kg <= 0 || s.to <= s.from) continue;
    const double whole_s =
        seconds_between(s.from, std::max(s.interval->to.value_or(to), s.to));
    const double share = within_s / whole_s;
    out.used_kg += share * s.interval->used_kg;
    out.used_variance += std::pow(share * s.interval->used_sd_kg, 2);
  }
  return out;
}

// On the same body: on another one the two masses say nothing of each other.
std::optional<Weighing> weighing_before(const SpoolRecord& record, Instant at) {
  std::optional<Weighing> out;
  for (const Event& event : record.events) {
    const auto* weighing = std::get_if<Weighing>(&event);
    if (weighing != nullptr && weighing->at <= at) out = *weighing;
    const auto* respool = std::get_if<Respool>(&event);
    if (respool != nullptr && respool->at <= at) out.reset();
  }
  return out;
}

double scale_sd(const Weighing& weighing) {
  constexpr double kKitchenScaleKg = 0.001;
  return weighing.scale_sd_kg > 0 ? weighing.scale_sd_kg : kKitchenScaleKg;
}

bool is_hot(const std::vector<Stretch>& stretches, Instant at) {
  return std::any_of(stretches.begin(), stretches.end(), [at](const Stretch& s) {
    return s.interval->kind == SpanKind::kDrying && at < s.to + kCoolDown;
  });
}

double damp_content(const Material& material) {
  return equilibrium_content(to_polymer(material), kDampAir, kIsothermReferenceK);
}

// Against the reading before: what prints, drying and damp air cannot explain.
std::optional<std::string> jump(const Weighing& now, const Weighing& before,
                                const Meanwhile& between, double dry_kg,
                                const Material& material) {
  const double noise_kg =
      kSigmas * std::sqrt(std::pow(scale_sd(now), 2) + std::pow(scale_sd(before), 2) +
                          between.used_variance);
  const double change_kg = now.gross_kg - before.gross_kg + between.used_kg;
  const double passed_s = seconds_between(before.at, now.at);
  const bool only_dried = passed_s > 0 && between.drying_s > 0.95 * passed_s;
  if (only_dried && change_kg > noise_kg + kUpdraftKg) {
    return "the mass has risen by " + mass_text(change_kg) +
           " in the dryer, where it can only fall";
  }
  const double damp_kg = dry_kg * damp_content(material);
  if (change_kg > noise_kg + damp_kg) {
    return mass_text(change_kg) + " more than the last weighing, " +
           "more than damp air gives: is it this spool?";
  }
  const double most_lost_kg =
      between.drying_s > 0 ? damp_kg : std::min(damp_kg, kQuietLoss * dry_kg);
  if (-change_kg > noise_kg + most_lost_kg) {
    return mass_text(-change_kg) +
           " less than the last weighing and the prints since: was some use not "
           "logged?";
  }
  return std::nullopt;
}

// Without a tare the filament alone sets bounds: an empty spool weighs 120 to 260 g
// (common practice, no source).
std::optional<std::string> without_tare(const Weighing& now, double dry_kg,
                                        const Material& material) {
  constexpr double kHeaviestBodyKg = 0.5;
  const double least_kg = dry_kg * (1 - kLabelTolerance) - kSigmas * scale_sd(now);
  const double most_kg =
      dry_kg * (1 + kLabelTolerance) * (1 + damp_content(material)) + kHeaviestBodyKg;
  if (now.gross_kg >= least_kg && now.gross_kg <= most_kg) return std::nullopt;
  const bool less = now.gross_kg < least_kg;
  return mass_text(now.gross_kg) + (less ? " is less than" : " is far more than") +
         " the filament that should be left, " + mass_text(dry_kg) + ": " +
         unit_slip(now.gross_kg, least_kg, most_kg)
             .value_or(less ? "was some use not logged?" : "is it this spool?");
}

// What pieces and purges took between two moments.
double found_kg(const SpoolRecord& record, const Material& material, Instant from,
                Instant to) {
  double sum = 0;
  for (const Event& event : record.events) {
    if (start_of(event) < from || start_of(event) > to) continue;
    sum += used_by_kg(event, record.filament_diameter_m, material.density_kg_m3.value);
  }
  return sum;
}

// Filament at the record's start; nothing where only its outer diameter is known.
std::optional<double> at_opening_kg(const SpoolRecord& record) {
  if (record.opened.net_kg) return record.opened.net_kg;
  if (record.opened.outer_diameter_m) return std::nullopt;
  return record.winding.full_net_kg;
}

// Against the mass as sold: what should still be there.
std::optional<std::string> against_label(const SpoolRecord& record, const Weighing& now,
                                         double dry_kg, const Material& material) {
  const BodyRecord& body = body_at(record, now.at);
  const double net_kg = now.gross_kg - *body.tare_kg;
  const double noise_kg = kSigmas * std::hypot(body.tare_sd_kg, scale_sd(now));
  const double most_kg =
      dry_kg * (1 + kLabelTolerance) * (1 + damp_content(material)) + noise_kg;
  const double least_kg = dry_kg * (1 - kLabelTolerance) - noise_kg;
  const std::string left = "gross less tare is " + mass_text(net_kg) +
                           ", by label and prints " + mass_text(dry_kg) +
                           " should be left: ";
  if (net_kg > most_kg) return left + "is it this spool, and this tare?";
  if (net_kg < least_kg) return left + "was some use not logged?";
  return std::nullopt;
}

}  // namespace

std::vector<std::string> doubts(const SpoolRecord& record, const Event& event,
                                const Material& material) {
  std::vector<std::string> out;
  if (const auto* interval = std::get_if<Interval>(&event)) {
    return span_doubts(record, *interval);
  }
  const auto* now = std::get_if<Weighing>(&event);
  if (now == nullptr) return finding_doubts(event, material);
  const std::vector<Stretch> stretches = stretches_until(record, now->at);
  const std::optional<double> start_kg = at_opening_kg(record);
  const double left_kg = std::max(
      0.0, start_kg.value_or(0) - meanwhile(stretches, Instant{}, now->at).used_kg -
               found_kg(record, material, Instant{}, now->at));
  std::optional<std::string> odd;
  const auto before = weighing_before(record, now->at);
  if (before && start_kg) {
    Meanwhile between = meanwhile(stretches, before->at, now->at);
    between.used_kg += found_kg(record, material, before->at, now->at);
    odd = jump(*now, *before, between, left_kg, material);
  }
  const bool tared = body_at(record, now->at).tare_kg.has_value();
  if (!odd && start_kg && tared) {
    odd = against_label(record, *now, left_kg, material);
  }
  if (!odd && start_kg && !tared) {
    odd = without_tare(*now, left_kg, material);
  }
  if (odd) out.push_back(*odd);
  if (is_hot(stretches, now->at)) {
    out.push_back(
        "the spool is hot or was an hour ago: updraft makes it seem some 0.3 g "
        "lighter, "
        "which the fit allows for");
  }
  return out;
}

}  // namespace drydepth
