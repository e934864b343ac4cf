#pragma once

#include <array>
#include <optional>
#include <vector>

#include "guard/race.h"

namespace drydepth {

/// Hours of drying until something holds: p10, p50, p90 over the members (earliest,
/// likely, latest). Nothing where that share does not get there in kForecastS.
using HoursUntil = std::array<std::optional<double>, 3>;

/// Four days: nobody should leave a spool in hot air for longer.
constexpr double kForecastS = 96 * 3600.0;

/// What more drying would do from a timeline's end on.
struct DryingForecast {
  HoursUntil mean{};       ///< the mean below the limit
  HoursUntil outer{};      ///< the outer `need` below it; whole spool where need is 0
  HoursUntil whole{};      ///< every layer below it
  Percentiles floor{};     ///< content in equilibrium with that air, kg/kg
  bool reachable = false;  ///< the floor's p50 lies below the limit
  /// The least temperature at which the room's water lets the floor's p50 fall under
  /// nine tenths of the limit, K; nothing up to the ceiling.
  std::optional<double> least_k{};
};

/// Content that a member's polymer keeps in an air however long it stands there, kg/kg.
Percentiles content_in_balance(const Spool& spool, const AirSpec& around,
                               const std::vector<Member>& members);

/// The least temperature of a vented heater at which the room's water lets that
/// content's p50 fall under nine tenths of the limit, K; nothing up to the ceiling.
std::optional<double> least_drying_k(const Spool& spool, HeaterAir heater, double limit,
                                     double ceiling_k,
                                     const std::vector<Member>& members);

/// Dries every member on in a vented heater until the horizon.
/// need_kg: filament from outside that a job wants; limit: kg/kg; ceiling_k: the lowest
/// of polymer, body and data sheet.
DryingForecast forecast_drying(const Spool& spool, const HeaterAir& heater,
                               double need_kg, double limit, double ceiling_k,
                               const std::vector<Member>& members, unsigned threads);

/// One reading that might be taken next.
struct NextReading {
  double after_s = 0;
  /// Share by which it would narrow the dry depth (its standard deviation), 0..1: from
  /// the correlation of reading and depth over the members, as for a linear update.
  double narrows = 0;
};

/// The next weighing that tells most of the dry depth at the end of `drying_s` more
/// hours in that air (0: of the depth now), and a piece cut from the outermost wrap now
/// and dried out on a scale.
struct NextBest {
  NextReading weighing{};
  double piece_narrows = 0;
};
NextBest next_reading(const Spool& spool, const AirSpec& air, bool drying,
                      double drying_s, double limit, double scale_sd_kg,
                      double piece_sd, const std::vector<Member>& members,
                      unsigned threads);

}  // namespace drydepth
