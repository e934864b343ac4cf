#pragma once

#include <string>
#include <vector>

#include "moisture/body.h"
#include "moisture/ensemble.h"
#include "moisture/pack_solver.h"
#include "rules/bodies.h"
#include "rules/materials.h"
#include "spool/record.h"
#include "spool/timeline.h"

namespace drydepth {

/// Film coefficients of heat transfer, W/(m2 K), convection and radiation together:
/// priors of the model, derived from Churchill and Bernstein's cylinder in cross flow
/// and Churchill and Chu's in still air at the size of a spool.
constexpr double kDryerFilmWM2K = 12;
constexpr double kStillFilmWM2K = 8;

/// What is known of a spool before its history: central values and their spread.
struct SpoolPriors {
  Priors spread{};
  double opening_content = 0;  ///< kg/kg
  double opening_temperature_k = 0;
  double tare_kg = 0;
  std::optional<BodyLaw> body{};     ///< of a body that holds water
  std::vector<std::string> notes{};  ///< what was assumed because the record is silent
};
SpoolPriors spool_priors(const SpoolRecord& record, const Material& material,
                         const Body& body);

/// What the timeline took for granted, one sentence each.
std::vector<std::string> timeline_notes(const Timeline& timeline);

/// The winding as sold.
Winding spool_winding(const SpoolRecord& record, const Material& material);

/// A solver for one member: the record's own pack properties where it has them, else
/// the model's, times the member's factors.
PackSolver spool_solver(const SpoolRecord& record, const Material& material,
                        const Member& member, const PackOptions& options = {});

/// What a spool stands in, seen by one member. `fan` air moves, as in a dryer.
Surroundings surroundings(const AirSpec& air, bool fan, const SpoolRecord& record,
                          const Member& member);

/// What a scale would show of a spool, without tare: the filament left, its water, and
/// what the body has taken up or lost against its tare.
struct OnTheScale {
  double dry_kg = 0;
  double content = 0;        ///< mean moisture, kg/kg
  double outer_content = 0;  ///< of the outermost layer
  double body_water_kg = 0;
  double used_sd_kg = 0;  ///< of all that was used so far
};

/// A spool's life as one member tells it.
struct Life {
  PackState state;
  std::vector<OnTheScale> readings;  ///< as many as the timeline has, in its order
  std::vector<double> outer{};       ///< content at each of its findings, kg/kg
};

/// Replays the timeline: opened with its content, then span after span. A body that
/// holds water starts in equilibrium with the first air.
Life replay(PackSolver& solver, const SpoolRecord& record, const SpoolPriors& priors,
            const Timeline& timeline, const Member& member);

/// The reading that a member foresees, kg.
double foreseen_kg(const OnTheScale& scale, const SpoolPriors& priors,
                   const Member& member, double days_since_first);

}  // namespace drydepth
