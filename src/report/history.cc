#include "report/history.h"

#include "base/numbers.h"
#include "base/shown.h"
#include "report/evidence_text.h"
#include "report/report.h"

namespace drydepth {
namespace {

std::string millimetres(double m) { return format_shortest(m * 1000.0) + " mm"; }

std::string span_text(const Interval& interval, const LocalZone& zone) {
  return "from " + format_local(interval.from, zone) +
         (interval.to ? " to " + format_local(*interval.to, zone) : ", running");
}

std::string interval_text(const Interval& i, const LocalZone& zone) {
  std::string out(kind_name(i.kind));
  if (i.kind == SpanKind::kPrint) {
    out += " " + mass_text(i.used_kg, 1) + ", feed " + std::string(feed_name(i.feed));
    if (!i.job.empty()) out += " (" + i.job + ")";
    if (i.air) out += " in " + air_text(*i.air);
  } else {
    out += i.air ? " " + std::string(i.kind == SpanKind::kStorage ? "in " : "") +
                       air_text(*i.air)
                 : " in room air";
  }
  return out + " " + span_text(i, zone);
}

std::string respool_text(const Respool& r, const LocalZone& zone) {
  std::string out = "respool onto " + r.body.kind;
  if (r.body.tare_kg) out += ", tare " + mass_text(*r.body.tare_kg, 1);
  if (r.body.hub_open) out += ", hub open";
  const auto add = [&](const char* name, const std::optional<double>& m) {
    if (m) out += ", " + std::string(name) + " " + millimetres(*m);
  };
  add("hub", r.hub_diameter_m);
  add("width", r.width_m);
  add("outside", r.outer_diameter_m);
  if (r.air) out += ", in " + air_text(*r.air);
  return out + ", at " + format_local(r.at, zone);
}

std::string winding_text(const SpoolRecord& r) {
  std::string out = "winding: width " + millimetres(r.winding.width_m);
  if (r.winding.hub_diameter_m)
    out += ", hub " + millimetres(*r.winding.hub_diameter_m);
  if (r.winding.outer_diameter_m) {
    out += ", outside " + millimetres(*r.winding.outer_diameter_m);
  }
  if (r.winding.full_net_kg)
    out += ", " + mass_text(*r.winding.full_net_kg, 0) + " as sold";
  return out;
}

std::string opened_text(const SpoolRecord& r, const LocalZone& zone) {
  std::string out = "opened: ";
  out +=
      r.opened.at ? format_local(*r.opened.at, zone) : std::string("time not recorded");
  if (r.opened.moisture) {
    out += " at " + format_fixed(*r.opened.moisture * 100.0, 2) + " %";
    if (r.opened.moisture_sd) {
      out += " +- " + format_fixed(*r.opened.moisture_sd * 100.0, 2) + " %";
    }
  } else if (!r.opened.layers.empty()) {
    out += " at " + format_fixed(r.opened.layers.front() * 100.0, 2) +
           " % outside to " + format_fixed(r.opened.layers.back() * 100.0, 2) +
           " % at the hub (" + std::to_string(r.opened.layers.size()) + " layers)";
    if (r.opened.moisture_sd) {
      out += " +- " + format_fixed(*r.opened.moisture_sd * 100.0, 2) + " %";
    }
  } else {
    out += ", moisture not recorded";
  }
  if (r.opened.net_kg)
    out += ", begun elsewhere: " + mass_text(*r.opened.net_kg, 0) + " left";
  return out;
}

}  // namespace

namespace {

std::string event_line(const Event& event, const LocalZone& zone) {
  if (const auto* interval = std::get_if<Interval>(&event)) {
    return interval_text(*interval, zone);
  }
  if (const auto* respool = std::get_if<Respool>(&event)) {
    return respool_text(*respool, zone);
  }
  const auto* found = std::get_if<Weighing>(&event);
  if (found == nullptr) {
    const std::string what = std::visit(
        [](const auto& e) {
          if constexpr (requires { finding_text(e); }) return finding_text(e);
          return std::string();
        },
        event);
    return what + " at " + format_local(start_of(event), zone);
  }
  const Weighing& weighing = *found;
  // Zero where the scale's spread was not stated and the record's default stands.
  const std::string spread =
      weighing.scale_sd_kg > 0
          ? " +- " + format_shortest(weighing.scale_sd_kg * 1000.0) + " g"
          : "";
  return "weighing " + mass_text(weighing.gross_kg, 1) + spread + " at " +
         format_local(weighing.at, zone);
}

}  // namespace

std::string event_text(const Event& event, const LocalZone& zone) {
  return shown(event_line(event, zone));
}

std::string record_text(const SpoolRecord& r, const LocalZone& zone) {
  std::string out = shown(r.id + ": " + r.material) + ", " +
                    millimetres(r.filament_diameter_m) + ", body " + shown(r.body.kind);
  if (r.body.tare_kg) out += ", tare " + mass_text(*r.body.tare_kg, 1);
  out += "\n" + winding_text(r) + "\n" + opened_text(r, zone) + "\n";
  for (const Event& event : r.events) out += "  " + event_text(event, zone) + "\n";
  if (r.events.empty()) out += "  no events yet\n";
  return out;
}

}  // namespace drydepth
