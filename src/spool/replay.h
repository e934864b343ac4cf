#pragma once

#include <string>
#include <vector>

#include "moisture/ensemble.h"
#include "moisture/pack_solver.h"
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
  std::vector<std::string> notes{};  ///< what was assumed because the record is silent
};
SpoolPriors spool_priors(const SpoolRecord& record, const Material& material);

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

/// The spool at the timeline's end: opened with its content, then span after span.
PackState replay(PackSolver& solver, const SpoolRecord& record,
                 const SpoolPriors& priors, const Timeline& timeline,
                 const Member& member);

}  // namespace drydepth
