// verify: is this the job that was checked, and does the check still hold?

#include <CLI/CLI.hpp>
#include <memory>

#include "base/exit_code.h"
#include "base/json_text.h"
#include "cli/commands.h"
#include "cli/job_stamp.h"
#include "sheet/layout.h"
#include "sheet/words.h"
#include "spool/quantity.h"

namespace drydepth {
namespace {

struct VerifyWords {
  SharedWords shared;
  std::vector<std::string> spools;
  std::string job;
};

struct SpoolVerdict {
  int tool = 0;
  std::string id, verdict;
  Feed feed = Feed::kOpen;
  std::vector<std::string> changes{};
  bool printed = false;  ///< the record counts this very print already
};

struct Verified {
  Stamp stamp{};
  Instant at{};
  std::vector<std::string> job_changes{};
  bool ends_changed = false;
  std::vector<SpoolVerdict> spools{};
  std::string time_doubt{};

  bool holds() const {
    for (const SpoolVerdict& s : spools) {
      if (!s.changes.empty()) return false;
    }
    return job_changes.empty() && time_doubt.empty();
  }
};

Result<Verified> verify(const VerifyWords& words, const World& world) {
  const auto map = read_spool_map(words.spools);
  if (!map) return map.error();
  Verified out{.at = world.now};
  if (!words.shared.at.empty()) {
    const auto at = parse_moment(words.shared.at, world.now, world.zone, Lean::kAhead);
    if (!at) return Error{"--at", at.error().what, at.error().hint, kExitUsage};
    out.at = *at;
  }
  auto job = open_stamped(words.job);
  if (!job) return job.error();
  out.stamp = job->stamp;
  const auto digest = digest_stamped(*job);
  if (!digest) return digest.error();
  out.job_changes = changes_since(out.stamp, digest->digest, job->blocks);
  out.ends_changed = digest->ends_changed;
  const auto spools = load_stamped(out.stamp, *map, words.shared, world);
  if (!spools) return spools.error();
  for (const SpoolStamp& s : out.stamp.spools) {
    const StampedSpool& now = spools->at(s.tool);
    out.spools.push_back({.tool = s.tool,
                          .id = s.id,
                          .verdict = s.verdict,
                          .feed = s.print.feed,
                          .changes = changes_since(s, now.digest),
                          .printed = counts_print(now.record, print_name(out.stamp))});
  }
  out.time_doubt = time_doubt(out.stamp, out.at);
  return out;
}

std::string joined(const std::vector<std::string>& parts) {
  std::string out;
  for (const std::string& part : parts) out += (out.empty() ? "" : ", ") + part;
  return out;
}

std::string verified_text(const Verified& v, const std::string& path,
                          const World& world) {
  std::string out = path + ": " +
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
  section(out, "Start",
          {moment_text(v.at, world.zone) + ": " +
           (v.time_doubt.empty()
                ? "checked for starts from " + moment_text(v.stamp.at, world.zone) +
                      " to " + moment_text(v.stamp.until, world.zone)
                : v.time_doubt)});
  if (v.stamp.version != world.version) {
    section(out, "Note",
            {"checked by drydepth " + v.stamp.version + ", this is " + world.version});
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

CommandRun verify_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<VerifyWords>();
  app.add_option("--at", words->shared.at, "When the job starts; default now")
      ->type_name("TIME");
  app.add_option("--spool", words->spools,
                 "Where the record of a tool's spool is now, if not where it was")
      ->type_name("[Tn=]SPOOL")
      ->allow_extra_args(false);
  add_shelf_options(app, words->shared);
  app.add_flag("--json", words->shared.json, "Print the result as JSON");
  app.add_option("JOB", words->job, "A guarded job, read only")->required();
  return [words, &world]() -> int {
    const auto verified = verify(*words, world);
    if (!verified) return complain(world, verified.error());
    world.out << (words->shared.json ? pretty_json(verified_json(*verified, words->job))
                                     : verified_text(*verified, words->job, world));
    return verified->holds() ? kExitDone : kExitVerdict;
  };
}

}  // namespace drydepth
