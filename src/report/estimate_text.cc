#include "report/estimate_text.h"

#include <algorithm>

#include "base/numbers.h"
#include "report/layout.h"
#include "report/piece_text.h"
#include "report/sensitivity_text.h"
#include "report/words.h"

namespace drydepth {
namespace {

// One row a wound layer: grams down to it, moisture, and a bar from p10 to p90 with the
// middle marked, on a scale that ends at the wettest.
void depth_chart(std::string& out, const Report& report, const SpoolReport& spool) {
  constexpr std::size_t kBar = 44;
  double top = spool.of.limits.cosmetic;
  for (const LayerEstimate& l : spool.now.layers) top = std::max(top, l.content.p90);
  const auto column = [&](double content) {
    return std::min(
        kBar - 1, static_cast<std::size_t>(content / top * static_cast<double>(kBar)));
  };
  const std::size_t limit = column(spool.of.limits[report.decides]);
  const std::string scale = "0 %" + std::string(kBar - 9, ' ') + percent_text(top);
  std::vector<Row> rows;
  if (report.nominal)
    rows.push_back({"layer", "to g", "%", scale});
  else
    rows.push_back({"layer", "to g", "% p10", "% p50", "% p90", scale});
  double kg = 0;
  for (std::size_t k = 0; k < spool.now.layers.size(); ++k) {
    const LayerEstimate& l = spool.now.layers[k];
    kg += l.mass_kg;
    std::string bar(kBar, ' ');
    bar[limit] = '|';
    for (std::size_t c = column(l.content.p10); c <= column(l.content.p90); ++c) {
      bar[c] = '-';
    }
    bar[column(l.content.p50)] = 'o';
    Row row{std::to_string(k + 1), format_fixed(kg * 1000.0, 0)};
    const auto add = [&](double content) {
      row.push_back(format_fixed(content * 100.0, 2));
    };
    if (!report.nominal) add(l.content.p10);
    add(l.content.p50);
    if (!report.nominal) add(l.content.p90);
    row.push_back(bar);
    rows.push_back(row);
  }
  table(out, rows, 0);
  section(out, "",
          {"| the " + std::string(limit_name(report.decides)) +
           " limit, o estimated, - from p10 to p90; layer 1 is the outermost"});
}

std::string hours_text(const HoursUntil& hours) {
  const auto one = [](const std::optional<double>& h) {
    return h ? format_fixed(*h, 1) + " h" : std::string("over 96 h");
  };
  return one(hours[0]) + " | " + one(hours[1]) + " | " + one(hours[2]);
}

std::string floor_text(const Report& report, const DryingForecast& f) {
  std::string out = "this room's air sets a floor of " +
                    percent_range_text(report, f.floor) + " at that temperature";
  if (!f.reachable) out += ": the limit cannot be reached in it, whatever the time";
  if (f.least_k) {
    return out + "; least temperature that allows it: " +
           format_fixed(to_celsius(Kelvin{*f.least_k}).value, 0) + " C";
  }
  return out + "; no temperature that polymer and body stand allows it in this room";
}

std::vector<std::string> next_sentences(const DryingReport& d,
                                        const SpoolReport& spool) {
  const NextReading& next = d.next.weighing;
  std::vector<std::string> out;
  if (next.narrows >= 0.01) {
    out.push_back("the next weighing tells most " +
                  (next.after_s > 0 ? "after " + duration_text(next.after_s)
                                    : std::string("now")) +
                  ": it narrows the dry depth by about " + share_text(next.narrows));
  } else {
    out.push_back("no further weighing would narrow the dry depth by as much as 1 %");
  }
  for (const std::string& advice : piece_advice(d, spool)) out.push_back(advice);
  return out;
}

void drying_section(std::string& out, const Report& report, const DryingReport& d) {
  const SpoolReport& spool = report.spools.front();
  std::vector<std::string> lines;
  if (d.heater) {
    const DryingForecast& f = d.forecast;
    lines.push_back("on from here in " + air_text(AirSpec{*d.heater}) +
                    ", hours until below " +
                    percent_text(spool.of.limits[report.decides]) +
                    " (earliest | likely | latest):");
    lines.push_back("the mean: " + hours_text(f.mean));
    if (d.need_kg > 0) {
      lines.push_back("the outer " + grams_text(d.need_kg) + ": " +
                      hours_text(f.outer));
    }
    lines.push_back("every layer: " + hours_text(f.whole));
    lines.push_back(floor_text(report, f));
  }
  section(out, "Drying", lines);
  section(out, "Reading", next_sentences(d, spool));
}

void exponential_section(std::string& out, const ExponentialReport& e) {
  std::string text = "one exponential through the " + std::to_string(e.readings) +
                     " weighings of the last drying (to compare with; a spool does not "
                     "dry like that) ";
  text += e.fit.converged ? "ends at " + format_fixed(e.fit.asymptote * 1000.0, 1) +
                                " +- " + format_fixed(e.fit.asymptote_sd * 1000.0, 1) +
                                " g and would call the mean " + percent_text(e.content)
                          : std::string("finds no end: they do not bend enough");
  section(out, "Compare", {text});
}

}  // namespace

std::string estimate_text(const Report& report, const LocalZone& zone) {
  std::string out;
  const SpoolReport& spool = report.spools.front();
  std::vector<std::string> lines = spool_sentences(report, spool, zone);
  for (const std::string& sentence : fit_sentences(spool)) lines.push_back(sentence);
  for (const std::string& note : spool.of.notes) lines.push_back(note);
  section(out, "Spool", lines);
  if (spool.told) {
    out += "\n";
    depth_chart(out, report, spool);
    if (report.drying) drying_section(out, report, *report.drying);
    if (report.exponential) exponential_section(out, *report.exponential);
    if (report.sensitivity) sensitivity_section(out, report);
  }
  section(out, "Caution", report.cautions);
  return out;
}

}  // namespace drydepth
