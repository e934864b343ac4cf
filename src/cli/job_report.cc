#include "cli/job_report.h"

#include <algorithm>
#include <future>
#include <thread>

#include "base/exit_code.h"
#include "cli/job_stamp.h"
#include "cli/progress.h"
#include "gcode/digest.h"
#include "sheet/note.h"

namespace drydepth {
namespace {

// Turns of the knobs, as far as people go in mid-print.
constexpr Hand kHands[] = {
    {.speed = 0.7}, {.speed = 1.3}, {.flow = 0.7}, {.flow = 1.3}};

// What takes time and needs no job.
struct Prepared {
  std::map<std::string, SpoolFit> fits{};
  std::map<std::string, std::vector<MemberStart>> starts{};
  JobDigest digest{};
};

// All but the one that reads the job.
unsigned other_threads(unsigned threads) {
  const unsigned all = threads > 0 ? threads : std::thread::hardware_concurrency();
  return std::max(all, 2U) - 1;
}

// The digest reads the job once more, which is free while the other core still scans.
Result<Prepared> prepare(const JobSpools& spools, const OpenJob& job,
                         const JobWords& words, const World& world, Tally& fitting) {
  Prepared out{.fits = fit_all(spools, words.shared, world, &fitting)};
  for (const auto& [word, fit] : out.fits) {
    out.starts[word] = start_members(spools.loaded.at(word).contest, fit.members,
                                     other_threads(words.shared.threads));
  }
  auto digest = digest_job(job.text);
  if (!digest) return digest.error();
  out.digest = *std::move(digest);
  return out;
}

// Runs one tool's job against its spool, and plans what to write.
struct ToolRace {
  const JobSpools& spools;
  const Actions& actions;
  const World& world;
  const Trace& trace;
  const ToolTrace& tool;
  const LoadedSpool& loaded;
  const SpoolFit& fit;
  const std::vector<MemberStart>& starts;
  unsigned threads = 0;
  Tally& tally;
};

void plan_edits(const ToolRace& race, const FeedRace& feed, Report& out) {
  const Dialect* dialect =
      find_dialect(race.spools.rules.dialects, race.trace.firmware);
  if (dialect == nullptr) return;
  const LimitRace& limit = race.spools.settings.decides == LimitKind::kCosmetic
                               ? feed.cosmetic
                               : feed.strength;
  plan_actions({race.trace, race.tool, *dialect, race.loaded.contest, feed, limit,
                race.trace.tools.size() > 1},
               race.actions, race.spools.rules.policy, race.world.zone, out);
}

void race_tool(const ToolRace& race, Report& out) {
  const Contest& contest = race.loaded.contest;
  const LimitKind decides = race.spools.settings.decides;
  const auto curve =
      draw_curve(race.tool, race.trace.duration_s, contest.record, contest.material);
  const SpoolRace run =
      run_race(contest, race.starts, curve,
               feed_airs(race.spools.settings, race.loaded), race.threads, &race.tally);
  SpoolReport spool = report_spool(contest, race.loaded.body, race.fit, run.now);
  spool.tool = race.tool.tool;
  spool.notes = race.loaded.notes;
  spool.needed_kg = curve.back().mass_kg;
  spool.support_share = race.tool.support_share;
  spool.supports_only =
      race.trace.tools.size() > 1 &&
      spool.support_share >= race.spools.rules.policy.support_share.value;
  for (const FeedRace& feed : run.feeds) {
    const bool in_use = feed.feed.feed == feed_of(race.spools, race.tool.tool);
    FeedReport said = report_feed(race.trace, race.tool, spool, feed, decides, in_use);
    if (!spool.told) said.verdict = Verdict::kCannotTell;
    if (in_use) {
      for (const HandRace& h :
           race_hands(contest, race.starts, curve, feed.feed, kHands,
                      deciding(contest.limits, decides), race.threads)) {
        said.hands.push_back(report_hand(race.trace, race.tool, spool, h));
      }
    }
    out.feeds.push_back(std::move(said));
    if (in_use) plan_edits(race, feed, out);
  }
  out.spools.push_back(std::move(spool));
}

Report report_of(Trace trace, const std::map<int, std::string>& assigned,
                 const Prepared& ready, const JobSpools& spools, const JobWords& words,
                 const Actions& actions, const World& world, Tally& racing) {
  Report out;
  out.version = world.version;
  out.at = spools.settings.at;
  out.nominal = spools.settings.nominal;
  out.members = spools.settings.nominal ? 1 : words.shared.members;
  out.decides = spools.settings.decides;
  out.support = actions.support;
  for (const ToolTrace& tool : trace.tools) {
    const std::string& word = assigned.at(tool.tool);
    if (word == kNobody) {
      out.unwatched.push_back("T" + std::to_string(tool.tool));
    } else {
      race_tool(
          {spools, actions, world, trace, tool, spools.loaded.at(word),
           ready.fits.at(word), ready.starts.at(word), words.shared.threads, racing},
          out);
    }
  }
  out.job = std::move(trace);
  const std::vector<std::string> of_actions = std::move(out.advice);
  out.advice = advise(out);
  out.advice.insert(out.advice.end(), of_actions.begin(), of_actions.end());
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace

Result<JobReport> report_job(const JobWords& words, const Actions& given,
                             const std::string& path, const World& world) {
  // What is wrong with the options is said before what is wrong with the job.
  auto job = open_job(path, words.reading.plate);
  const auto spools = gather_spools(
      words, world, job ? spools_named_in(path, *job, world) : SpoolMap{});
  if (!spools) return spools.error();
  if (!job) return job.error();
  if (words.reading.plate && job->container != Container::kProject) {
    return Error{path, "it is no packed project and has no plates", "leave --plate out",
                 kExitUsage};
  }
  const auto reading = scan_options(*spools, words, world);
  if (!reading) return reading.error();
  Actions actions = given;
  // Read and checked with the settings file.
  const auto hours = parse_attended(spools->attended);
  if (hours && !actions.attended) actions.attended = *hours;
  Tally read, fitting, racing;
  Progress progress(world, "reading the job", &read);
  auto preparing = std::async(std::launch::async, [&] {
    return prepare(*spools, *job, words, world, fitting);
  });
  auto trace = scan(tallied(*job, path, read), *reading);
  progress.phase("fitting the weighings", &fitting);
  const auto ready = preparing.get();
  progress.phase("racing the job against the spool", &racing);
  if (!trace) return trace.error();
  if (!ready) return ready.error();
  keep_behind_front(*job, *trace);
  const auto assigned = assign_spools(spools->map, *trace, path);
  if (!assigned) return assigned.error();
  JobReport out{.job = *std::move(job),
                .report = report_of(*std::move(trace), *assigned, *ready, *spools,
                                    words, actions, world, racing),
                .read = {path}};
  for (const auto& [word, spool] : spools->loaded) out.read.push_back(spool.path);
  out.report.job_file = std::filesystem::path(path).filename().string();
  const auto longer =
      lengthen(out.job.text, *out.report.job, spools->rules.dialects, out.report);
  if (!longer) return longer.error();
  out.report.stamp = make_stamp(out.report, *spools, *assigned, ready->digest,
                                edits_with_note(out.report));
  return out;
}

}  // namespace drydepth
