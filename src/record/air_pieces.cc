// A logged series as few straight pieces: ten-minute means, then a corridor of slopes
// from each anchor that is followed until it closes.

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "moisture/air.h"
#include "record/air_log.h"

namespace drydepth {
namespace {

double vapour_pressure_of(const StatedAir& room) {
  return room.activity * saturation_pressure_pa(room.temperature_k);
}

Air air_of(const AirReading& r, const AirSeries& series, const StatedAir& room) {
  const double heated =
      std::min(1.0, vapour_pressure_of(room) / saturation_pressure_pa(r.temperature_k));
  double activity = r.activity.value_or(heated);
  if (r.at_floor) activity = std::min(*series.floor, heated);
  return make_air(to_celsius(Kelvin{r.temperature_k}), Activity{activity});
}

StatedAir stated(const Air& air) {
  return {air.temperature_k, std::clamp(humidity(air).value, 0.0, 1.0)};
}

struct Knot {
  double time_s = 0;
  Air air;
  double tolerance_kg_m3 = 0;
};

// What a spool still follows: the outermost layer takes 3 minutes to the air's
// temperature (f rho c_p d/h, nylon, 12 W/(m2 K); derived), the pack hours, so that a
// thermostat's swing is nothing but its mean.
constexpr double kWindowS = 600;

// Rows of one window become their mean at their mean time. A row alone in its window
// stays as it is.
class Averager {
 public:
  void add(double time_s, const Air& air) {
    time_s_ += time_s;
    sum_.temperature_k += air.temperature_k;
    sum_.vapour_kg_m3 += air.vapour_kg_m3;
    ++count_;
  }
  bool empty() const { return count_ == 0; }
  double time_s() const { return time_s_ / count_; }
  Air air() const { return {sum_.temperature_k / count_, sum_.vapour_kg_m3 / count_}; }

 private:
  double time_s_ = 0;
  Air sum_{0, 0};
  int count_ = 0;
};

// The series between two moments as window means, with the series itself at both ends.
std::vector<Knot> knots_between(const AirSeries& series, Instant from, Instant to,
                                const StatedAir& room) {
  const auto& rows = series.readings;
  const auto knot = [&](Instant at, const Air& air) {
    const double saturated = saturated_vapour(air.temperature_k).concentration_kg_m3;
    return Knot{seconds_between(from, at), air,
                std::max(0.01 * air.vapour_kg_m3, series.activity_step * saturated)};
  };
  const auto at = [&](Instant moment) {
    const auto after = std::find_if(
        rows.begin(), rows.end(), [&](const AirReading& r) { return r.at >= moment; });
    if (after == rows.begin()) return knot(moment, air_of(rows.front(), series, room));
    if (after == rows.end()) return knot(moment, air_of(rows.back(), series, room));
    const Air a = air_of(*(after - 1), series, room), b = air_of(*after, series, room);
    const double share = seconds_between((after - 1)->at, moment) /
                         seconds_between((after - 1)->at, after->at);
    return knot(moment, {a.temperature_k + share * (b.temperature_k - a.temperature_k),
                         a.vapour_kg_m3 + share * (b.vapour_kg_m3 - a.vapour_kg_m3)});
  };
  std::vector<Knot> out{at(from)};
  Averager window;
  double window_ends_s = kWindowS;
  const auto close_window = [&] {
    if (!window.empty()) {
      out.push_back(knot(from + Seconds(std::llround(window.time_s())), window.air()));
    }
    window = {};
  };
  for (const AirReading& r : rows) {
    if (r.at <= from || r.at >= to) continue;
    const double time_s = seconds_between(from, r.at);
    if (time_s >= window_ends_s) {
      close_window();
      window_ends_s = (std::floor(time_s / kWindowS) + 1) * kWindowS;
    }
    window.add(time_s, air_of(r, series, room));
  }
  close_window();
  out.push_back(at(to));
  return out;
}

// The slopes that keep a line from an anchor within a tolerance of every row so far.
struct Corridor {
  double low = -1e300, high = 1e300;
  bool narrow(double rise, double tolerance, double time_s) {
    low = std::max(low, (rise - tolerance) / time_s);
    high = std::min(high, (rise + tolerance) / time_s);
    return low <= high;
  }
};

// How far one straight line from the anchor goes, and the air at its end.
struct Reach {
  std::size_t knot = 0;
  Air air;
};

Reach reach_from(const std::vector<Knot>& knots, std::size_t first, const Air& anchor,
                 double tolerance_k) {
  Corridor warm, damp;
  Reach out{first, anchor};
  for (std::size_t i = first + 1; i < knots.size(); ++i) {
    const double time_s = knots[i].time_s - knots[first].time_s;
    const double rise_k = knots[i].air.temperature_k - anchor.temperature_k;
    const double rise_kg = knots[i].air.vapour_kg_m3 - anchor.vapour_kg_m3;
    const bool fits = warm.narrow(rise_k, tolerance_k, time_s);
    if (!damp.narrow(rise_kg, knots[i].tolerance_kg_m3, time_s) || !fits) return out;
    const auto end = [time_s](double from, double rise, const Corridor& c) {
      return from + time_s * std::clamp(rise / time_s, c.low, c.high);
    };
    out = {i,
           {end(anchor.temperature_k, rise_k, warm),
            std::max(0.0, end(anchor.vapour_kg_m3, rise_kg, damp))}};
  }
  return out;
}

}  // namespace

std::vector<AirPiece> pieces(const AirSeries& series, Instant from, Instant to,
                             const StatedAir& room) {
  constexpr double kToleranceK = 0.2;
  const std::vector<Knot> knots = knots_between(series, from, to, room);
  const auto moment = [&](const Knot& k) {
    return from + Seconds(std::llround(k.time_s));
  };
  std::vector<AirPiece> out;
  Air anchor = knots.front().air;
  for (std::size_t i = 0; i + 1 < knots.size();) {
    const Reach reach =
        reach_from(knots, i, anchor, std::max(kToleranceK, series.temperature_step_k));
    out.push_back({moment(knots[i]), moment(knots[reach.knot]), stated(anchor),
                   stated(reach.air)});
    anchor = reach.air;
    i = reach.knot;
  }
  return out;
}

}  // namespace drydepth
