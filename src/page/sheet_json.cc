#include "page/sheet_json.h"

#include "base/json_value.h"
#include "report/json.h"
#include "report/unmeasured.h"
#include "spool/exposure.h"

namespace drydepth {
namespace {

Json moment(const std::optional<Instant>& at) {
  return at ? Json(format_instant(*at)) : Json();
}

Json range(const Report& report, const Percentiles& p, double factor, double unit) {
  const auto form = [&](double v) { return rounded(v * factor, unit); };
  if (report.nominal) return form(p.p50);
  return {{"p10", form(p.p10)}, {"p50", form(p.p50)}, {"p90", form(p.p90)}};
}

Json course_json(const Report& report, const SpoolReport& spool) {
  if (!spool.course) return nullptr;
  Json points = Json::array();
  for (const CoursePoint& p : spool.course->points) {
    points.push_back({{"at", format_instant(p.at)},
                      {"gross_g", range(report, p.gross_kg, 1000, 1e-3)},
                      {"mean_percent", range(report, p.mean, 100, 1e-4)}});
  }
  return {{"dried_from", moment(spool.course->dried_from)},
          {"dried_to", moment(spool.course->dried_to)},
          {"points", points}};
}

Json clocks_json(const SpoolReport& spool) {
  const Exposure exposure = exposure_of(spool.of.timeline);
  const auto hours = [](double s) { return Json(rounded(s / kSecondsPerHour, 0.01)); };
  return {{"since_drying_h",
           exposure.since_drying_s ? hours(*exposure.since_drying_s) : Json()},
          {"hot_h", hours(exposure.hot_s)}};
}

}  // namespace

Json sheet_json(const Report& report) {
  Json out = report_json(report);
  out["edits_written"] = report.edits_written;
  for (std::size_t k = 0; k < report.spools.size(); ++k) {
    const SpoolReport& spool = report.spools[k];
    Json& entry = out["spools"][k];
    entry["layers"] = layers_json(report, spool);
    entry["course"] = course_json(report, spool);
    entry["clocks"] = clocks_json(spool);
    entry["not_measured"] = unmeasured(spool);
  }
  return out;
}

}  // namespace drydepth
