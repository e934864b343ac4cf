#include "spool/wound.h"

#include "base/numbers.h"
#include "moisture/respool.h"
#include "spool/finding_checks.h"
#include "spool/opening.h"

namespace drydepth {
namespace {

// A little over the densest, for diameters read with a ruler.
constexpr double kMostFill = kDensestFill * 1.05;

// Dry mass below which a spool has run out.
constexpr double kNothingKg = 1e-6;

std::optional<double> half(const std::optional<double>& diameter) {
  return diameter ? std::optional<double>(*diameter / 2.0) : std::nullopt;
}

WindingFacts winding_facts(const SpoolRecord& record, const Material& material) {
  WindingFacts facts{.strand_diameter_m = record.filament_diameter_m,
                     .width_m = record.winding.width_m,
                     .density_kg_m3 = material.density_kg_m3.value};
  const auto radius = [](const std::optional<double>& diameter) {
    return diameter ? std::optional<double>(*diameter / 2.0) : std::nullopt;
  };
  facts.hub_radius_m = radius(record.winding.hub_diameter_m);
  facts.outer_radius_m = radius(record.winding.outer_diameter_m);
  facts.dry_mass_kg = record.winding.full_net_kg;
  return facts;
}

// Where a record's filament is wound, and how much is left.
struct Wound {
  Winding winding;
  double left_kg = 0;
};

Wound as_opened(const SpoolRecord& record, const Material& material) {
  Wound out{.winding = spool_winding(record, material)};
  out.left_kg =
      dry_mass_kg(out.winding) - gone_at_opening_kg(out.winding, record.opened);
  return out;
}

void wind(const Respool& respool, Wound& wound) {
  if (wound.left_kg <= kNothingKg) return;
  wound.winding = wound_over(wound.winding, wound.left_kg, respool);
}

}  // namespace

Winding spool_winding(const SpoolRecord& record, const Material& material) {
  return make_winding(winding_facts(record, material));
}

Winding wound_over(const Winding& before, double dry_kg, const Respool& respool) {
  return rewound(before, dry_kg,
                 {.hub_radius_m = half(respool.hub_diameter_m),
                  .width_m = respool.width_m,
                  .outer_radius_m = half(respool.outer_diameter_m)});
}

Winding wound_at(const SpoolRecord& record, const Material& material,
                 const Timeline& timeline) {
  Wound wound = as_opened(record, material);
  auto found = timeline.evidence.begin();
  for (const Span& span : timeline.spans) {
    wound.left_kg -= span.used_kg;
    if (!span.respool) continue;
    for (; found != timeline.evidence.end() && found->event < *span.event; ++found) {
      wound.left_kg -= found->used_kg;
    }
    wind(std::get<Respool>(record.events[*span.event]), wound);
  }
  return wound.winding;
}

Result<Done> check_respools(const SpoolRecord& record, const Material& material) {
  Wound wound = as_opened(record, material);
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const auto* interval = std::get_if<Interval>(&record.events[i]);
    wound.left_kg -= interval != nullptr
                         ? interval->used_kg
                         : used_by_kg(record.events[i], record.filament_diameter_m,
                                      material.density_kg_m3.value);
    const auto* respool = std::get_if<Respool>(&record.events[i]);
    if (respool == nullptr || wound.left_kg <= kNothingKg) continue;
    const double hub_m =
        respool->hub_diameter_m.value_or(2.0 * wound.winding.hub_radius_m);
    const std::string where =
        record.file + " /events/" + std::to_string(i) + "/winding/outer_diameter_mm";
    if (respool->outer_diameter_m && *respool->outer_diameter_m <= hub_m) {
      return Error{
          where,
          "the winding ends inside its hub of " + format_shortest(hub_m * 1000) + " mm",
          "mend hub_diameter_mm or outer_diameter_mm"};
    }
    wind(*respool, wound);
    if (wound.winding.fill > kMostFill) {
      return Error{where,
                   "the " + format_fixed(wound.left_kg * 1000, 0) +
                       " g left do not fit into this winding",
                   "mend its sizes, or leave outer_diameter_mm out"};
    }
  }
  return Done{};
}

}  // namespace drydepth
