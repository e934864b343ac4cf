#include "report/json.h"

#include <cmath>

#include "base/json_value.h"
#include "report/evidence_text.h"
#include "report/sensitivity_text.h"
#include "report/unknown_words.h"

namespace drydepth {

double rounded(double value, double unit) {
  const double r = std::round(value / unit) * unit;
  // The nearest short decimal: 0.1 + 0.2 would print seventeen digits.
  return std::round(r * 1e6) / 1e6;
}

Json air_json(const AirSpec& air) {
  const auto celsius = [](double k) { return rounded(k - kZeroCelsiusK, 1e-2); };
  if (const auto* stated = std::get_if<StatedAir>(&air)) {
    return {{"temperature_c", celsius(stated->temperature_k)},
            {"rh_percent", rounded(stated->activity * 100.0, 1e-2)}};
  }
  if (const auto* heater = std::get_if<HeaterAir>(&air)) {
    Json out{{"temperature_c", celsius(heater->temperature_k)}};
    if (heater->room) out["room"] = air_json(AirSpec{*heater->room});
    return out;
  }
  return {{"log", std::get<AirLog>(air).path}};
}

namespace {

double percent(double content) { return rounded(content * 100.0, 1e-4); }
double grams(double kg) { return rounded(kg * 1000.0, 1e-3); }
double metres(double mm) { return rounded(mm / 1000.0, 1e-3); }
double seconds(double s) { return rounded(s, 0.1); }

template <class Form>
Json range(const Report& report, const Percentiles& p, Form form) {
  if (report.nominal) return form(p.p50);
  return {{"p10", form(p.p10)}, {"p50", form(p.p50)}, {"p90", form(p.p90)}};
}

Json percent_range(const Report& report, const Percentiles& p) {
  return range(report, p, [](double x) { return Json(percent(x)); });
}

Json depth_json(const Report& report, const SpoolReport& spool, const Percentiles& kg) {
  return range(report, kg, [&](double x) {
    return Json{{"wraps", rounded(wraps_of(spool, x), 0.1)},
                {"m", metres(x / kg_per_mm(spool))},
                {"g", grams(x)}};
  });
}

Json crossing_json(const Report& report, const Crossings& crossing) {
  const auto one = [](const std::optional<CrossingPlace>& c) {
    if (!c) return Json(nullptr);
    return Json{{"g", grams(c->mass_kg)},
                {"m", metres(c->place.length_mm)},
                {"time_s", seconds(c->place.time_s)},
                {"line", c->place.line},
                {"layer", c->place.layer + 1},  // counted from 1, as people do
                {"z_mm", rounded(c->place.z_mm, 1e-3)}};
  };
  if (report.nominal) return one(crossing[1]);
  return {
      {"p10", one(crossing[0])}, {"p50", one(crossing[1])}, {"p90", one(crossing[2])}};
}

Json job_json(const Report& report) {
  if (!report.job) return nullptr;
  const Trace& job = *report.job;
  Json tools = Json::array();
  for (const ToolTrace& t : job.tools) {
    Json mass = nullptr;
    for (const SpoolReport& s : report.spools) {
      if (s.tool == t.tool) mass = grams(s.needed_kg);
    }
    tools.push_back(
        {{"tool", t.tool},
         {"length_mm", rounded(t.length_mm, 1e-3)},
         {"stated_length_mm", t.stated_length_mm ? Json(*t.stated_length_mm) : Json()},
         {"stated_g", t.stated_mass_g ? Json(*t.stated_mass_g) : Json()},
         {"mass_g", mass},
         {"note", t.stated_note.empty() ? Json() : Json(t.stated_note)}});
  }
  Json read = Json::array();
  for (const Explained& e : job.explained) {
    read.push_back({{"what", e.what},
                    {"value", e.value},
                    {"source", e.source},
                    {"guessed", e.guessed}});
  }
  return {{"file", report.job_file},
          {"tools", tools},
          {"duration_s", seconds(job.duration_s)},
          {"duration_source", job.duration_source},
          {"duration_spread", job.duration_spread},
          {"layers", job.layers.size()},
          {"lines", job.lines},
          {"slicer", job.slicer.empty() ? Json() : Json(job.slicer)},
          {"firmware", job.firmware},
          {"firmware_source", job.firmware_source},
          {"read", read},
          {"notes", job.notes}};
}

Json limits_json(const SpoolReport& s) {
  Json out;
  for (const Limit limit : kLimits) {
    const Sourced& rule = s.of.material.limit_percent[limit];
    out[std::string(limit_name(limit))] = {{"percent", percent(s.of.limits[limit])},
                                           {"source", rule.source},
                                           {"status", rule.status}};
  }
  return out;
}

// What the readings were, what the ensemble foresees of each, and the unknowns behind.
Json fit_json(const Report& report, const SpoolReport& s) {
  Json readings = Json::array();
  for (const ReadingFit& r : s.fit.readings) {
    readings.push_back(
        {{"at", format_instant(r.reading.at)},
         {"gross_g", grams(r.reading.gross_kg)},
         {"sd_g", grams(r.sd_kg)},
         {"hot", r.reading.hot},
         {"foreseen_g",
          range(report, r.foreseen_kg, [](double kg) { return Json(grams(kg)); })},
         {"off_sd", rounded(r.off, 0.01)}});
  }
  return {{"readings", readings},
          {"evidence", evidence_json(s)},
          {"detectable_percent",
           s.fit.detectable ? Json(percent(*s.fit.detectable)) : Json()},
          {"suspects", s.fit.suspects}};
}

// Each unknown of the ensemble as the value the model runs with.
Json parameters_json(const Report& report, const SpoolReport& s) {
  Json out;
  for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
    const double step = kUnknownWords[u].parameter_step;
    if (step <= 0) continue;
    std::vector<double> values;
    for (const Member& m : s.fit.members) values.push_back(full_value(u, s.of, m));
    out[kUnknownWords[u].key] = range(report, percentiles(values), [step](double v) {
      return Json(std::round(v / step) * step);
    });
  }
  return out;
}

Json drying_json(const Report& report, const DryingReport& d) {
  const auto hours = [](const HoursUntil& h) {
    const auto one = [](const std::optional<double>& v) {
      return v ? Json(rounded(*v, 0.1)) : Json();
    };
    return Json{
        {"earliest_h", one(h[0])}, {"likely_h", one(h[1])}, {"latest_h", one(h[2])}};
  };
  Json out;
  if (d.heater) {
    const DryingForecast& f = d.forecast;
    out["air"] = air_json(AirSpec{*d.heater});
    out["need_g"] = grams(d.need_kg);
    out["mean"] = hours(f.mean);
    out["outer"] = hours(f.outer);
    out["whole"] = hours(f.whole);
    out["floor_percent"] = percent_range(report, f.floor);
    out["reachable"] = f.reachable;
    out["least_temperature_c"] =
        f.least_k ? Json(rounded(*f.least_k - kZeroCelsiusK, 0.1)) : Json();
  }
  out["next_weighing"] = {{"after_s", seconds(d.next.weighing.after_s)},
                          {"narrows", rounded(d.next.weighing.narrows, 0.01)}};
  out["piece"] = {{"g", grams(d.piece_kg)},
                  {"narrows", rounded(d.next.piece_narrows, 0.01)}};
  return out;
}

Json spool_json(const Report& report, const SpoolReport& s) {
  const auto until = valid_until(report, s);
  return {{"tool", s.tool},
          {"id", s.of.record.id},
          {"material", s.of.material.id},
          {"body", s.of.body.kind},
          {"left_g", grams(s.now.remaining_kg)},
          {"needed_g", grams(s.needed_kg)},
          {"support_share", rounded(s.support_share, 1e-3)},
          {"limits", limits_json(s)},
          {"mean_percent", percent_range(report, s.now.mean)},
          {"dry_depth", depth_json(report, s, s.now.depth_kg[report.decides])},
          {"dry_depth_cosmetic", depth_json(report, s, s.now.depth_kg.cosmetic)},
          {"dry_depth_strength", depth_json(report, s, s.now.depth_kg.strength)},
          {"valid_until", until ? Json(format_instant(*until)) : Json()},
          {"told", s.told},
          {"fit", fit_json(report, s)},
          {"notes", s.of.notes}};
}

Json hands_json(const FeedReport& f) {
  Json out = Json::array();
  for (const HandReport& h : f.hands) {
    Json likely;
    if (h.likely) {
      likely = {{"g", grams(h.likely->mass_kg)},
                {"time_s", seconds(h.likely->place.time_s)},
                {"line", h.likely->place.line},
                {"layer", h.likely->place.layer + 1}};
    }
    out.push_back({{"speed", rounded(h.hand.speed, 0.01)},
                   {"flow", rounded(h.hand.flow, 0.01)},
                   {"share_above", rounded(h.share_above, 1e-4)},
                   {"likely", likely}});
  }
  return out;
}

Json feed_json(const Report& report, const FeedReport& f) {
  const LimitRace& deciding = f.race.limits[report.decides];
  Json nozzle = Json::array();
  for (std::size_t k = 0; k < f.nozzle.size(); ++k) {
    const NozzleEstimate& n = f.race.nozzle[k];
    const Place& place = f.nozzle[k];
    nozzle.push_back({{"g", grams(n.mass_kg)},
                      {"m", metres(place.length_mm)},
                      {"time_s", seconds(place.time_s)},
                      {"line", place.line},
                      {"percent", percent_range(report, n.content)}});
  }
  return {{"tool", f.tool},
          {"feed", std::string(feed_name(f.feed()))},
          {"in_use", f.in_use},
          {"air", air_json(f.air())},
          {"verdict", std::string(verdict_name(f.verdict))},
          {"counts_as", std::string(verdict_name(counted(report, f)))},
          {"share_above", rounded(deciding.share_above, 1e-4)},
          {"crossing",
           {{"cosmetic", crossing_json(report, f.crossing.cosmetic)},
            {"strength", crossing_json(report, f.crossing.strength)}}},
          {"above_limit_g",
           range(report, deciding.above_kg, [](double kg) { return Json(grams(kg)); })},
          {"nozzle", nozzle},
          {"mean_after_percent", percent_range(report, f.race.mean_after)},
          {"overrides", hands_json(f)},
          {"ran_out_g", f.race.ran_out_kg ? Json(grams(*f.race.ran_out_kg)) : Json()}};
}

}  // namespace

Json report_json(const Report& report) {
  Json spools = Json::array(), feeds = Json::array(), edits = Json::array();
  for (const SpoolReport& s : report.spools) spools.push_back(spool_json(report, s));
  for (const FeedReport& f : report.feeds) feeds.push_back(feed_json(report, f));
  for (const PlannedEdit& e : report.edits) {
    edits.push_back({{"line", e.edit.line},
                     {"action", e.edit.action},
                     {"text", e.text},
                     {"reason", e.reason}});
  }
  return {{"format", "drydepth-report/1"},
          {"version", report.version},
          {"at", format_instant(report.at)},
          {"members", report.members},
          {"nominal", report.nominal},
          {"limit", std::string(limit_name(report.decides))},
          {"job", job_json(report)},
          {"spools", spools},
          {"unwatched", report.unwatched},
          {"feeds", feeds},
          {"edits", edits},
          {"advice", report.advice},
          {"cautions", report.cautions}};
}

Json layers_json(const Report& report, const SpoolReport& spool) {
  Json layers = Json::array();
  for (const LayerEstimate& l : spool.now.layers) {
    layers.push_back({{"g", grams(l.mass_kg)},
                      {"percent", percent_range(report, l.content)},
                      {"surface_percent", percent_range(report, l.surface)},
                      {"core_percent", percent_range(report, l.core)},
                      {"temperature_c", range(report, l.temperature_k, [](double k) {
                         return Json(rounded(k - kZeroCelsiusK, 0.01));
                       })}});
  }
  return layers;
}

Json estimate_json(const Report& report) {
  const SpoolReport& s = report.spools.front();
  Json out{{"format", "drydepth-estimate/1"},
           {"version", report.version},
           {"at", format_instant(report.at)},
           {"members", report.members}};
  out.update(spool_json(report, s));
  out.erase("tool");
  out.erase("needed_g");
  out.erase("support_share");
  out["layers"] = layers_json(report, s);
  out["parameters"] = parameters_json(report, s);
  if (report.drying) out["drying"] = drying_json(report, *report.drying);
  if (report.exponential) {
    const ExponentialReport& e = *report.exponential;
    out["exponential"] = {{"readings", e.readings},
                          {"converged", e.fit.converged},
                          {"asymptote_g", grams(e.fit.asymptote)},
                          {"asymptote_sd_g", grams(e.fit.asymptote_sd)},
                          {"rate_per_h", rounded(e.fit.rate, 1e-5)},
                          {"mean_percent", percent(e.content)}};
  }
  if (report.sensitivity) out["sensitivity"] = sensitivity_json(report);
  out["cautions"] = report.cautions;
  return out;
}

}  // namespace drydepth
