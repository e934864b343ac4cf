#pragma once

#include <vector>

#include "inference/ensemble.h"
#include "moisture/pack_solver.h"
#include "spool/spool.h"

namespace drydepth {

/// Film coefficients of heat transfer, W/(m2 K), convection and radiation together:
/// priors of the model, derived from Churchill and Bernstein's cylinder in cross flow
/// and Churchill and Chu's in still air at the size of a spool.
constexpr double kDryerFilmWM2K = 12;
constexpr double kStillFilmWM2K = 8;

/// A solver for one member: the record's own pack properties where it has them, else
/// the model's, times the member's factors.
PackSolver spool_solver(const Spool& spool, const Member& member,
                        const PackOptions& options = {});

/// What a spool stands in, seen by one member. `fan` air moves, as in a dryer.
Surroundings surroundings(const AirSpec& air, bool fan, const Spool& spool,
                          const Member& member);

/// What a scale would show of a spool, without tare: the filament left, its water, and
/// what the body has taken up or lost against its tare.
struct OnTheScale {
  double dry_kg = 0;
  double content = 0;        ///< mean moisture, kg/kg
  double outer_content = 0;  ///< of the outermost layer
  double body_water_kg = 0;
  double used_sd_kg = 0;  ///< of all that was used so far
  std::size_t body = 0;   ///< respools before it
};

/// A spool's life as one member tells it.
struct Life {
  PackState state;
  std::vector<OnTheScale> readings;  ///< as many as the timeline has, in its order
  std::vector<double> outer{};       ///< content at each of its findings, kg/kg
};

/// Replays the timeline: opened with its content, then span after span. A body that
/// holds water starts in equilibrium with the first air, or with that of the respool
/// that brought it. The solver, fresh from spool_solver, ends as one of the winding
/// that the spool has then.
Life replay(PackSolver& solver, const Spool& spool, const Member& member);

/// The reading that a member foresees, kg.
double foreseen_kg(const OnTheScale& scale, const SpoolPriors& priors,
                   const Member& member, double days_since_first);

}  // namespace drydepth
