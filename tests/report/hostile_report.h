#pragma once

#include "guard/dried_spool.h"
#include "report/report.h"

namespace drydepth {

// A report of an invented job of 6 layers, with names as hostile as a file may have.
inline Report hostile_report(bool told = true) {
  Spool dried = dried_spool();
  dried.record.id = "K|7`<b>*\n--> \xC3\xA9\xF0\x9F\x98\x80";
  const Trace trace = plain_trace(6);
  const auto members = draw_members(dried.priors.spread, 16, 1);
  const auto curve =
      draw_curve(trace.tools[0], trace.duration_s, dried.record, dried.material);
  const SpoolRace race = run_race(dried, curve, three_feeds(), members, 1);
  Report out;
  out.version = "0.1.0";
  out.at = *parse_instant("2026-03-06T06:00:00Z");
  out.members = members.size();
  out.job_file = "<!-- drydepth:end -->.gcode";
  out.job = trace;
  SpoolReport spool{};
  spool.of = dried;
  spool.now = race.now;
  spool.needed_kg = curve.back().mass_kg;
  spool.told = told;
  for (const FeedRace& feed : race.feeds) {
    out.feeds.push_back(report_feed(trace, trace.tools[0], spool, feed,
                                    Limit::kCosmetic, feed.feed.feed == Feed::kOpen));
    if (!told) out.feeds.back().verdict = Verdict::kCannotTell;
  }
  out.spools.push_back(spool);
  out.advice = advise(out);
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace drydepth
