#pragma once

#include "guard/contest.h"
#include "sheet/report.h"

namespace drydepth {

// A report of an invented job of 6 layers, with names as hostile as a file may have.
inline Report hostile_report(bool told = true) {
  Contest contest = dried_contest();
  contest.record.id = "K|7`<b>*\n--> \xC3\xA9\xF0\x9F\x98\x80";
  const Trace trace = plain_trace(6);
  const auto members = draw_members(contest.priors.spread, 16, 1);
  const auto curve =
      draw_curve(trace.tools[0], trace.duration_s, contest.record, contest.material);
  const SpoolRace race = run_race(contest, curve, three_feeds(), members, 1);
  Report out;
  out.version = "0.1.0";
  out.at = *parse_instant("2026-03-06T06:00:00Z");
  out.members = members.size();
  out.job_file = "<!-- drydepth:end -->.gcode";
  out.job = trace;
  SpoolReport spool{};
  spool.record = contest.record;
  spool.material = contest.material;
  spool.body = *find_body(*load_bodies(), "pc", "test");
  spool.limits = contest.limits;
  spool.now = race.now;
  spool.timeline = contest.timeline;
  spool.needed_kg = curve.back().mass_kg;
  spool.told = told;
  for (const FeedRace& feed : race.feeds) {
    out.feeds.push_back(report_feed(trace, trace.tools[0], spool, feed,
                                    LimitKind::kCosmetic,
                                    feed.feed.feed == Feed::kOpen));
    if (!told) out.feeds.back().verdict = Verdict::kCannotTell;
  }
  out.spools.push_back(spool);
  out.advice = advise(out);
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace drydepth
