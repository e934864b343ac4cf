#include <CLI/CLI.hpp>
#include <algorithm>
#include <future>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "cli/action_words.h"
#include "cli/commands.h"
#include "cli/job_report.h"
#include "cli/job_stamp.h"
#include "cli/last.h"
#include "cli/progress.h"
#include "gcode/container.h"
#include "gcode/rewrite.h"
#include "sheet/emphasis.h"
#include "sheet/job_sheet.h"
#include "sheet/json.h"
#include "sheet/note.h"
#include "sheet/text.h"

namespace drydepth {
namespace {

struct GuardWords {
  JobWords on;
  ActionWords actions;
  std::string job, fail_on, sheet;
  bool preview = false;
  bool explain = false;
};

Result<Verdict> read_fail_on(const std::string& word) {
  for (const Verdict v :
       {Verdict::kMayCross, Verdict::kWillCross, Verdict::kCannotTell}) {
    if (word == verdict_name(v)) return v;
  }
  return Error{"--fail-on", "\"" + word + "\" is no verdict to fail on",
               "write may-cross, will-cross or cannot-tell", kExitUsage};
}

// Knobs as far as people turn them in mid-print; the feed in use under each.
void add_hands(Feed in_use, std::vector<FeedAir>& airs) {
  const auto feed = std::find_if(airs.begin(), airs.end(),
                                 [&](const FeedAir& a) { return a.feed == in_use; });
  if (feed == airs.end()) return;
  const FeedAir own = *feed;
  for (const Hand hand :
       {Hand{.speed = 0.7}, Hand{.speed = 1.3}, Hand{.flow = 0.7}, Hand{.flow = 1.3}}) {
    airs.push_back({own.feed, own.air, hand});
  }
}

// The edits in job order, below the block that says what was found.
std::vector<Edit> all_edits(const Report& report) {
  std::vector<Edit> out;
  out.push_back({.offset = report.job->header_offset,
                 .line = report.job->header_line,
                 .action = "note",
                 .lines = note_lines(report)});
  for (const PlannedEdit& e : report.edits) out.push_back(e.edit);
  std::stable_sort(out.begin(), out.end(),
                   [](const Edit& a, const Edit& b) { return a.offset < b.offset; });
  return out;
}

// Everything up to the report: no file has been touched when this returns.
class Guard {
 public:
  Guard(const JobWords& words, Actions actions, const std::string& job_path,
        const World& world)
      : words_(words),
        actions_(std::move(actions)),
        job_path_(job_path),
        world_(world) {}

  Result<Report> check() {
    // What is wrong with the options is said before what is wrong with the job.
    auto job = open_job(job_path_, words_.reading.plate);
    auto spools = gather_spools(
        words_, world_, job ? spools_named_in(job_path_, *job, world_) : SpoolMap{});
    if (!spools) return spools.error();
    spools_ = *std::move(spools);
    if (!job) return job.error();
    if (words_.reading.plate && job->container != Container::kProject) {
      return Error{job_path_, "it is no packed project and has no plates",
                   "leave --plate out", kExitUsage};
    }
    job_ = *std::move(job);
    const auto reading = scan_options(spools_, words_, world_);
    if (!reading) return reading.error();
    // Read and checked with the settings file.
    const auto hours = parse_attended(spools_.attended);
    if (hours && !actions_.attended) actions_.attended = *hours;
    Progress progress(world_, "reading the job");
    // The fits need no job, and reading a job needs one core. The digest reads it once
    // more, which is free while the other core still scans.
    auto fits = std::async(std::launch::async, [this] {
      fits_ = fit_all(spools_, words_.shared, world_);
      return digest_job(job_->text);
    });
    auto trace = scan(job_->text, *reading);
    progress.phase("fitting the weighings");
    const auto digest = fits.get();
    progress.phase("racing the job against the spool");
    if (!trace) return trace.error();
    if (!digest) return digest.error();
    auto assigned = assign_spools(spools_.map, *trace, job_path_);
    if (!assigned) return assigned.error();
    Report out = report(*std::move(trace), *assigned);
    out.stamp = make_stamp(out, spools_, *assigned, *digest, all_edits(out));
    return out;
  }

  /// After check(): the job as it was opened.
  const OpenJob& job() const { return *job_; }

 private:
  Report report(Trace trace, const std::map<int, std::string>& spools) {
    Report out;
    out.version = world_.version;
    out.at = spools_.settings.at;
    out.nominal = spools_.settings.nominal;
    out.members = spools_.settings.nominal ? 1 : words_.shared.members;
    out.decides = spools_.settings.decides;
    out.job_file = std::filesystem::path(job_path_).filename().string();
    for (const ToolTrace& tool : trace.tools) {
      const std::string& word = spools.at(tool.tool);
      if (word == kNobody) {
        out.unwatched.push_back("T" + std::to_string(tool.tool));
      } else {
        race_tool(trace, tool, word, out);
      }
    }
    out.job = std::move(trace);
    const std::vector<std::string> of_actions = std::move(out.advice);
    out.advice = advise(out);
    out.advice.insert(out.advice.end(), of_actions.begin(), of_actions.end());
    out.cautions = usual_cautions(out);
    return out;
  }

  void race_tool(const Trace& trace, const ToolTrace& tool, const std::string& word,
                 Report& out) {
    const LoadedSpool& loaded = spools_.loaded.at(word);
    const Contest& contest = loaded.contest;
    const auto curve =
        draw_curve(tool, trace.duration_s, contest.record, contest.material);
    std::vector<FeedAir> airs = feed_airs(spools_.settings, loaded);
    const std::size_t feeds = airs.size();
    add_hands(feed_of(spools_, tool.tool), airs);
    const SpoolFit& fit = fits_.at(word);
    const SpoolRace race =
        run_race(contest, curve, airs, fit.members, words_.shared.threads);
    SpoolReport spool{.tool = tool.tool,
                      .record = contest.record,
                      .material = contest.material,
                      .body = loaded.body,
                      .priors = contest.priors,
                      .limits = contest.limits,
                      .now = race.now,
                      .timeline = contest.timeline,
                      .fit = fit,
                      .told = can_tell(contest, race.now),
                      .notes = loaded.notes,
                      .needed_kg = curve.back().mass_kg};
    const Dialect* dialect = find_dialect(spools_.rules.dialects, trace.firmware);
    for (std::size_t k = 0; k < feeds; ++k) {
      const FeedRace& feed = race.feeds[k];
      const bool in_use = feed.feed.feed == feed_of(spools_, tool.tool);
      out.feeds.push_back(
          report_feed(trace, tool, spool, feed, spools_.settings.decides, in_use));
      if (!spool.told) out.feeds.back().verdict = Verdict::kCannotTell;
      for (std::size_t h = feeds; in_use && h < race.feeds.size(); ++h) {
        out.feeds.back().hands.push_back(
            report_hand(trace, tool, spool, race.feeds[h], spools_.settings.decides));
      }
      if (!in_use || !dialect) continue;
      const LimitRace& limit = spools_.settings.decides == LimitKind::kCosmetic
                                   ? feed.cosmetic
                                   : feed.strength;
      plan_actions(
          {trace, tool, *dialect, contest, feed, limit, trace.tools.size() > 1},
          actions_, spools_.rules.policy, world_.zone, out);
    }
    out.spools.push_back(std::move(spool));
  }

  const JobWords& words_;
  Actions actions_;
  const std::string& job_path_;
  const World& world_;
  JobSpools spools_;
  std::map<std::string, SpoolFit> fits_;
  std::optional<OpenJob> job_;
};

Result<Done> write_edits(const std::string& path, const OpenJob& job,
                         const Report& report) {
  return write_job(path, job, [&](const ByteSink& sink) {
    return rewrite(job.text, all_edits(report), sink);
  });
}

// The gravest verdict of the feeds in use.
Verdict gravest(const Report& report) {
  Verdict out = Verdict::kStaysDry;
  for (const FeedReport& f : report.feeds) {
    if (f.in_use && f.verdict > out) out = f.verdict;
  }
  return out;
}

Result<std::optional<AtomicFile>> open_page(const std::string& path) {
  if (path.empty()) return std::optional<AtomicFile>();
  auto file = AtomicFile::open(path);
  if (!file) return file.error();
  return std::optional<AtomicFile>(*std::move(file));
}

Result<Done> keep_page(AtomicFile& file, const std::string& page) {
  const auto written = file.write(page);
  return written ? file.commit() : written;
}

int run_guard(const GuardWords& words, const World& world) {
  std::optional<Verdict> fail_on;
  if (!words.fail_on.empty()) {
    const auto verdict = read_fail_on(words.fail_on);
    if (!verdict) return complain(world, verdict.error());
    fail_on = *verdict;
  }
  const auto actions = read_actions(words.actions);
  if (!actions) return complain(world, actions.error());
  Guard guard(words.on, *actions, words.job, world);
  auto report = guard.check();
  if (!report) return complain(world, report.error());
  const bool failed = fail_on && gravest(*report) >= *fail_on;
  report->edits_written = !words.preview && !failed;
  // A page that may not be written is found out before the job is touched.
  auto page = open_page(words.sheet);
  if (!page) return complain(world, page.error());
  if (report->edits_written) {
    const auto written = write_edits(words.job, guard.job(), *report);
    if (!written) return complain(world, written.error());
  }
  if (*page) {
    add_courses(*report, words.on);
    const auto drawn = keep_page(**page, job_sheet(*report, world.zone));
    if (!drawn) return complain(world, drawn.error());
  }
  const Said said{report_text(*report, world.zone), pretty_json(report_json(*report))};
  world.out << (words.on.shared.json ? said.json
                : world.bold         ? emphasised(said.text)
                                     : said.text);
  if (words.explain && !words.on.shared.json) world.out << explain_text(*report->job);
  const auto kept = keep_said(said, world);
  if (!kept) world.talk << "drydepth: " << kept.error().text() << "\n";
  if (!failed) return kExitDone;
  world.talk << "drydepth: " << words.job << ": verdict "
             << verdict_name(gravest(*report)) << " reaches --fail-on " << words.fail_on
             << "; the job stays unedited\n";
  return kExitVerdict;
}

}  // namespace

Result<Report> report_job(const JobWords& words, const std::string& job,
                          const World& world) {
  const Actions actions;
  return Guard(words, actions, job, world).check();
}

CommandRun guard_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<GuardWords>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  add_model_options(app, words->on.shared);
  add_action_options(app, words->actions);
  app.add_option("--fail-on", words->fail_on,
                 "Exit with 3 and leave the job alone from this verdict on: may-cross, "
                 "will-cross or cannot-tell")
      ->type_name("VERDICT");
  app.add_flag("--explain", words->explain,
               "Say how the job was read, from where, and what was guessed");
  app.add_option("--sheet", words->sheet, "Write the job sheet, a page of HTML, there")
      ->type_name("FILE");
  app.add_flag("--preview", words->preview, "Write nothing, only report");
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->job, "Sliced G-code; edited in place")->required();
  return [words, &world] { return run_guard(*words, world); };
}

}  // namespace drydepth
