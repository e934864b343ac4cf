// verify: is this the job that was checked, and does the check still hold?

#include <memory>

#include "app/job/verify_job.h"
#include "base/exit_code.h"
#include "base/json_value.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "report/layout.h"
#include "report/words.h"

namespace drydepth {
namespace {

std::string joined(const std::vector<std::string>& parts) {
  std::string out;
  for (const std::string& part : parts) out += (out.empty() ? "" : ", ") + part;
  return out;
}

std::string verified_text(const Verified& v, const std::string& path,
                          const World& world) {
  std::string out = shown(path) + ": " +
                    (v.holds() ? "the check holds" : "the check no longer holds") +
                    "\n";
  section(out, "Job",
          {v.job_changes.empty() ? "as checked, SHA-256 " + v.stamp.job.sha256 +
                                       (v.ends_changed ? " then; only its line ends "
                                                         "were changed since"
                                                       : "")
                                 : joined(v.job_changes)});
  for (const SpoolVerdict& s : v.spools) {
    section(
        out, "T" + std::to_string(s.tool),
        {s.id + ", feed " + std::string(feed_name(s.feed)) + ", " + s.verdict + ": " +
         (s.changes.empty() ? "record and rules as checked"
                            : "since the check " + joined(s.changes)) +
         (s.printed ? "; the record counts this print already" : "")});
  }
  section(
      out, "Start",
      {moment_text(v.at, world.caller.zone) + ": " +
       (v.time_doubt.empty()
            ? "checked for starts from " + moment_text(v.stamp.at, world.caller.zone) +
                  " to " + moment_text(v.stamp.until, world.caller.zone)
            : v.time_doubt)});
  if (v.stamp.version != world.caller.version) {
    section(out, "Note",
            {"checked by drydepth " + v.stamp.version + ", this is " +
             world.caller.version});
  }
  return out;
}

Json verified_json(const Verified& v, const std::string& path) {
  Json spools = Json::array();
  for (const SpoolVerdict& s : v.spools) {
    spools.push_back({{"tool", s.tool},
                      {"id", s.id},
                      {"feed", std::string(feed_name(s.feed))},
                      {"verdict", s.verdict},
                      {"changes", s.changes},
                      {"printed", s.printed}});
  }
  return {{"format", "drydepth-verify/1"},
          {"job", path},
          {"holds", v.holds()},
          {"at", format_instant(v.at)},
          {"checked_at", format_instant(v.stamp.at)},
          {"checked_until", format_instant(v.stamp.until)},
          {"version", v.stamp.version},
          {"sha256", v.stamp.job.sha256},
          {"job_changes", v.job_changes},
          {"spools", spools},
          {"time", v.time_doubt.empty() ? Json() : Json(v.time_doubt)}};
}

}  // namespace

CommandRun verify_command(Command& app, const World& world) {
  auto words = std::make_shared<VerifyRequest>();
  app.add_option("--at", words->shared.at, "When the job starts; default now")
      .type_name("TIME");
  app.add_option("--spool", words->spools,
                 "Where the record of a tool's spool is now, if not where it was")
      .type_name("[Tn=]SPOOL")
      .repeated();
  add_shelf_options(app, words->shared);
  app.add_flag("--json", words->shared.json, "Print the result as JSON");
  app.add_option("JOB", words->job, "A guarded job, read only").required();
  return [words, &world]() -> int {
    const auto verified = verify_job(*words, world.caller);
    if (!verified) return complain(world, verified.error());
    print(world, words->shared.json ? pretty_json(verified_json(*verified, words->job))
                                    : verified_text(*verified, words->job, world));
    return verified->holds() ? kExitDone : kExitVerdict;
  };
}

}  // namespace drydepth
