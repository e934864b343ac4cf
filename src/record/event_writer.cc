#include "record/event_writer.h"

#include <string>

#include "base/json_value.h"
#include "base/numbers.h"
#include "base/units.h"
#include "record/finding_reader.h"

namespace drydepth {
namespace {

// Grams and percents come from a person's decimals by way of SI; nine digits give the
// decimals back without the last bits of the detour.
Json rounded(double value) {
  return number_json(parse_number(format_fixed(value, 9)).value_or(value));
}

Json stated_json(const StatedAir& air) {
  Json out;
  out["temperature_c"] = rounded(to_celsius(Kelvin{air.temperature_k}).value);
  out["rh_percent"] = rounded(air.activity * 100);
  return out;
}

struct AirWriter {
  Json operator()(const StatedAir& air) const { return stated_json(air); }
  Json operator()(const HeaterAir& air) const {
    Json out;
    out["temperature_c"] = rounded(to_celsius(Kelvin{air.temperature_k}).value);
    if (air.set_k) out["set_c"] = rounded(to_celsius(Kelvin{*air.set_k}).value);
    if (air.room) out["room"] = stated_json(*air.room);
    if (air.exchange_m3_s) {
      out["exchange_m3_h"] = rounded(*air.exchange_m3_s * kSecondsPerHour);
    }
    if (air.chamber_m3) out["chamber_m3"] = rounded(*air.chamber_m3);
    return out;
  }
  Json operator()(const AirLog& log) const {
    Json out;
    out["log"] = log.path;
    if (log.room) out["room"] = stated_json(*log.room);
    if (log.floor) out["floor_percent"] = rounded(*log.floor * 100);
    return out;
  }
};

struct EventWriter {
  Json operator()(const Weighing& weighing) const {
    Json out;
    out["type"] = "weighing";
    out["at"] = format_instant(weighing.at);
    out["gross_g"] = rounded(weighing.gross_kg * 1000);
    if (weighing.scale_sd_kg > 0) {
      out["scale_sd_g"] = rounded(weighing.scale_sd_kg * 1000);
    }
    return out;
  }
  Json operator()(const Interval& interval) const {
    Json out;
    out["type"] = std::string(kind_name(interval.kind));
    out["from"] = format_instant(interval.from);
    if (interval.to) out["to"] = format_instant(*interval.to);
    if (interval.kind == SpanKind::kPrint) {
      out["used_g"] = rounded(interval.used_kg * 1000);
      if (interval.used_sd_kg > 0) {
        out["used_sd_g"] = rounded(interval.used_sd_kg * 1000);
      }
      out["feed"] = std::string(feed_name(interval.feed));
    }
    if (interval.air) out["air"] = std::visit(AirWriter{}, *interval.air);
    if (!interval.job.empty()) out["job"] = interval.job;
    if (!interval.stamp.empty()) out["stamp"] = interval.stamp;
    return out;
  }
  Json operator()(const Respool& respool) const {
    Json out;
    out["type"] = "respool";
    out["at"] = format_instant(respool.at);
    Json& body = out["body"];
    body["kind"] = respool.body.kind;
    if (respool.body.tare_kg) body["tare_g"] = rounded(*respool.body.tare_kg * 1000);
    if (respool.body.tare_sd_kg > 0) {
      body["tare_sd_g"] = rounded(respool.body.tare_sd_kg * 1000);
    }
    if (respool.body.hub_open) body["hub_open"] = true;
    Json winding = Json::object();
    const auto length = [&](const char* key, const std::optional<double>& m) {
      if (m) winding[key] = rounded(*m * 1000);
    };
    length("hub_diameter_mm", respool.hub_diameter_m);
    length("width_mm", respool.width_m);
    length("outer_diameter_mm", respool.outer_diameter_m);
    if (!winding.empty()) out["winding"] = winding;
    if (respool.air) out["air"] = stated_json(*respool.air);
    return out;
  }
  template <class Finding>
  Json operator()(const Finding& finding) const {
    return finding_json(finding);
  }
};

}  // namespace

Json event_json(const Event& event) { return std::visit(EventWriter{}, event); }

}  // namespace drydepth
