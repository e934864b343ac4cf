#include "app/job/check_job.h"

#include <algorithm>
#include <future>
#include <thread>

#include "app/job/stamped.h"
#include "base/exit_code.h"
#include "gcode/edit/digest.h"
#include "gcode/edit/rewrite.h"
#include "gcode/edit/splice.h"
#include "report/note.h"

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
                         const JobWords& words, const Caller& caller, Tally& fitting) {
  Prepared out{.fits = fit_all(spools, words.shared, caller.version, &fitting)};
  for (const auto& [word, fit] : out.fits) {
    out.starts[word] = start_members(spools.loaded.at(word), fit.members,
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
  const LocalZone& zone;
  const Trace& trace;
  const ToolTrace& tool;
  const Spool& spool;
  const SpoolFit& fit;
  const std::vector<MemberStart>& starts;
  unsigned threads = 0;
  Tally& tally;
};

void plan_edits(const ToolRace& race, const FeedRace& feed, Report& out) {
  const Dialect* dialect =
      find_dialect(race.spools.rules.dialects, race.trace.firmware);
  if (dialect == nullptr) return;
  plan_actions({race.trace, race.tool, *dialect, race.spool, feed,
                feed.limits[race.spools.settings.decides], race.trace.tools.size() > 1},
               race.actions, race.spools.rules.policy, race.zone, out);
}

void race_tool(const ToolRace& race, Report& out) {
  const Spool& spool = race.spool;
  const Limit decides = race.spools.settings.decides;
  const auto curve =
      draw_curve(race.tool, race.trace.duration_s, spool.record, spool.material);
  const SpoolRace run =
      run_race(spool, race.starts, curve,
               feed_airs(race.spools.settings.places, spool.material, spool.body),
               race.threads, &race.tally);
  SpoolReport said = report_spool(spool, race.fit, run.now);
  said.tool = race.tool.tool;
  said.needed_kg = curve.back().mass_kg;
  said.support_share = race.tool.support_share;
  said.supports_only =
      race.trace.tools.size() > 1 &&
      said.support_share >= race.spools.rules.policy.support_share.value;
  for (const FeedRace& feed : run.feeds) {
    const bool in_use = feed.feed.feed == feed_of(race.spools, race.tool.tool);
    FeedReport of_feed =
        report_feed(race.trace, race.tool, said, feed, decides, in_use);
    if (!said.told) of_feed.verdict = Verdict::kCannotTell;
    if (in_use) {
      for (const HandRace& h : race_hands(spool, race.starts, curve, feed.feed, kHands,
                                          spool.limits[decides], race.threads)) {
        of_feed.hands.push_back(report_hand(race.trace, race.tool, said, h));
      }
    }
    out.feeds.push_back(std::move(of_feed));
    if (in_use) plan_edits(race, feed, out);
  }
  out.spools.push_back(std::move(said));
}

Report report_of(Trace trace, const std::map<int, std::string>& assigned,
                 const Prepared& ready, const JobSpools& spools, const JobWords& words,
                 const Actions& actions, const Caller& caller, Tally& racing) {
  Report out;
  out.version = caller.version;
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
          {spools, actions, caller.zone, trace, tool, spools.loaded.at(word),
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

Result<Checked> check_job(const CheckRequest& request, const Caller& caller,
                          const Progress& progress) {
  const std::string& path = request.job;
  const JobWords& words = request.words;
  // What is wrong with the options is said before what is wrong with the job.
  auto job = open_job(path, words.reading.plate);
  const auto spools = gather_spools(
      words, caller, job ? spools_named_in(path, *job, caller) : SpoolMap{});
  if (!spools) return spools.error();
  if (!job) return job.error();
  if (words.reading.plate && job->container != Container::kProject) {
    return Error{path, "it is no packed project and has no plates", "leave --plate out",
                 kExitUsage};
  }
  const auto reading = scan_options(*spools, words, caller);
  if (!reading) return reading.error();
  Actions actions = request.actions;
  // Read and checked with the settings file.
  const auto hours = parse_attended(spools->attended);
  if (hours && !actions.attended) actions.attended = *hours;
  const auto read = std::make_shared<Tally>(), fitting = std::make_shared<Tally>(),
             racing = std::make_shared<Tally>();
  tell(progress, "reading the job", read);
  auto preparing = std::async(std::launch::async, [&] {
    return prepare(*spools, *job, words, caller, *fitting);
  });
  auto trace = scan(tallied(*job, path, *read), *reading);
  tell(progress, "fitting the weighings", fitting);
  const auto ready = preparing.get();
  tell(progress, "racing the job against the spool", racing);
  if (!trace) return trace.error();
  if (!ready) return ready.error();
  keep_behind_front(*job, *trace);
  const auto assigned = assign_spools(spools->map, *trace, path);
  if (!assigned) return assigned.error();
  Checked out{.job = *std::move(job),
              .report = report_of(*std::move(trace), *assigned, *ready, *spools, words,
                                  actions, caller, *racing),
              .read = {path}};
  for (const auto& [word, spool] : spools->loaded) out.read.push_back(spool.path);
  out.report.job_file = std::filesystem::path(path).filename().string();
  const auto longer =
      lengthen(out.job.text, *out.report.job, spools->rules.dialects, out.report);
  if (!longer) return longer.error();
  out.report.stamp = make_stamp(out.report, spools->rules.policy, ready->digest,
                                edits_with_note(out.report));
  return out;
}

void add_courses(Report& report, unsigned threads) {
  for (SpoolReport& spool : report.spools) {
    if (!spool.told) continue;
    spool.course = weight_course(spool.of, spool.fit.members, threads);
  }
}

Verdict gravest(const Report& report) {
  Verdict out = Verdict::kStaysDry;
  for (const FeedReport& f : report.feeds) {
    if (f.in_use) out = std::max(out, counted(report, f));
  }
  return out;
}

// A plain file that holds no blocks yet is copied around the edits.
Result<Done> write_edits(const std::string& path, const Checked& checked,
                         BinaryWriting binary) {
  const std::vector<Edit> edits = edits_with_note(checked.report);
  if (checked.job.container == Container::kText && !checked.report.job->guarded) {
    return splice(path, edits, checked.report.job->bytes);
  }
  auto written = write_job(
      path, checked.job,
      [&](const ByteSink& sink) { return rewrite(checked.job.text, edits, sink); },
      binary);
  if (!written && checked.job.container == Container::kBinary &&
      binary == BinaryWriting::kRefused) {
    Error error = written.error();
    error.hint += "; --write-binary tries what no firmware is known to take";
    return error;
  }
  return written;
}

}  // namespace drydepth
