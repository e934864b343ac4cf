#include "spool/priors.h"

#include "base/units.h"
#include "spool/opening.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

// A spool whose content at opening nobody states: from the bag it may be anything
// between nearly nothing and room equilibrium (a dryer vendor's survey of new nylon
// spools found most above 0.75 %; read, medium).
constexpr double kUnknownShare = 0.5;
constexpr double kUnknownShareSd = 0.3;
// One that has stood anywhere since it was opened: at room equilibrium as likely as
// not, and from nearly nothing to a damp cellar (design value).
constexpr double kAnywhereShare = 0.9;
constexpr double kAnywhereShareSd = 0.5;

double content_of_room_air(const Material& material) {
  return equilibrium_content(to_polymer(material), 0.5, kIsothermReferenceK);
}

// The mean moisture that a record opens with; nothing where it states none.
std::optional<double> stated_content(const SpoolRecord& record,
                                     const Material& material) {
  if (record.opened.layers.empty()) return record.opened.moisture;
  return mean_of_layers(spool_winding(record, material), record.opened);
}

// Empty spools weigh 120 to 260 g (common practice, no source).
constexpr double kUnknownTareKg = 0.19;
constexpr double kUnknownTareSdKg = 0.05;
// Net mass where only sizes are known: the fill is a guess then.
constexpr double kUnknownMassSd = 0.08;

std::optional<BodyLaw> law_of(const Body& body) {
  if (!body.water) return std::nullopt;
  return BodyLaw{body.water->slope.value, body.water->curvature.value,
                 body.water->time_constant_h.value * kSecondsPerHour};
}

LaterBody later_body(const BodyRecord& record, const std::optional<Body>& body) {
  return {.tare_kg = record.tare_kg.value_or(kUnknownTareKg),
          .tare_sd_kg = record.tare_kg ? record.tare_sd_kg : kUnknownTareSdKg,
          .water = body ? law_of(*body) : std::nullopt};
}

void weighing_priors(const SpoolRecord& record, const Body& body,
                     const std::vector<Body>& later, SpoolPriors& out) {
  out.tare_kg = record.body.tare_kg.value_or(kUnknownTareKg);
  out.spread.tare_kg = record.body.tare_kg ? record.body.tare_sd_kg : kUnknownTareSdKg;
  out.spread.dry_mass = record.winding.full_net_kg ? record.winding.full_net_sd_kg /
                                                         *record.winding.full_net_kg
                                                   : kUnknownMassSd;
  out.body = law_of(body);
  for (const Event& event : record.events) {
    const auto* respool = std::get_if<Respool>(&event);
    if (respool == nullptr) continue;
    const std::size_t k = out.later_bodies.size();
    out.later_bodies.push_back(
        later_body(respool->body,
                   k < later.size() ? std::optional<Body>(later[k]) : std::nullopt));
  }
  if (body.water) {
    out.spread.body_time_log = body.water->time_constant_h.log_sd.value_or(0.7);
  }
}

}  // namespace

SpoolPriors spool_priors(const SpoolRecord& record, const Material& material,
                         const Body& body, const std::vector<Body>& later) {
  SpoolPriors out;
  const double room = content_of_room_air(material);
  const bool anywhere = record.opened.history_unknown;
  const std::optional<double> stated = stated_content(record, material);
  out.opening_content =
      stated.value_or((anywhere ? kAnywhereShare : kUnknownShare) * room);
  out.opening_temperature_k = record.opened.temperature_k.value_or(kIsothermReferenceK);
  out.spread.opening_content = record.opened.moisture_sd.value_or(
      stated ? 0.2 * *stated : (anywhere ? kAnywhereShareSd : kUnknownShareSd) * room);
  if (!stated && anywhere) {
    out.notes.push_back(
        "nobody knows where the spool has been: its moisture at the record's start may "
        "be anything up to what damp air gives");
  } else if (!stated) {
    out.notes.push_back(
        "the record states no moisture at opening: taken as half of what room air "
        "gives, "
        "with a wide spread");
  }
  const DiffusivityRule& d = material.diffusivity;
  const IsothermRule& i = material.isotherm;
  out.spread.diffusivity_log =
      d.reference_m2_s.log_sd.value_or(out.spread.diffusivity_log);
  out.spread.isotherm_log = i.slope.log_sd.value_or(out.spread.isotherm_log);
  out.spread.heat_of_mixing_j_mol = i.heat_of_mixing_j_mol.sd.value_or(0.0);
  weighing_priors(record, body, later, out);
  return out;
}

double tare_of(const SpoolPriors& priors, std::size_t body) {
  return body == 0 ? priors.tare_kg : priors.later_bodies[body - 1].tare_kg;
}

}  // namespace drydepth
