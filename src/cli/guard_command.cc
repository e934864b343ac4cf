#include <CLI/CLI.hpp>
#include <algorithm>
#include <future>
#include <memory>

#include "base/exit_code.h"
#include "base/nearest.h"
#include "cli/commands.h"
#include "cli/last.h"
#include "cli/settings.h"
#include "gcode/container.h"
#include "gcode/rewrite.h"
#include "gcode/scan.h"
#include "sheet/json.h"
#include "sheet/note.h"
#include "sheet/text.h"
#include "spool/mounts.h"

namespace drydepth {
namespace {

struct GuardWords {
  SharedWords shared;
  std::vector<std::string> spools;  // [T0=]SPOOL
  std::string job, firmware, fail_on, printer;
  bool preview = false;
  bool explain = false;
};

constexpr std::string_view kNobody = "none";

// Which spool feeds which tool, as typed; -1 stands for "the only tool".
using SpoolMap = std::map<int, std::string>;

Result<SpoolMap> read_spool_map(const std::vector<std::string>& words) {
  SpoolMap out;
  for (const std::string& word : words) {
    int tool = -1;
    std::string spool = word;
    const std::size_t equals = word.find('=');
    if (word.size() > 1 && word[0] == 'T' && equals != std::string::npos) {
      const std::string digits = word.substr(1, equals - 1);
      if (!digits.empty() &&
          digits.find_first_not_of("0123456789") == std::string::npos &&
          digits.size() <= 3) {
        tool = std::stoi(digits);
        spool = word.substr(equals + 1);
      }
    }
    const bool taken = !out.emplace(tool, spool).second;
    if (spool.empty() || taken) {
      return Error{"--spool",
                   "\"" + word + "\" " +
                       (taken ? "gives a tool a second spool" : "names no spool"),
                   "write --spool K-07, or --spool T0=K-07 --spool T1=none",
                   kExitUsage};
    }
  }
  return out;
}

// The spool of each tool that extrudes. A bare word stands for the only one.
Result<std::map<int, std::string>> assign_spools(const SpoolMap& words,
                                                 const Trace& job,
                                                 const std::string& job_name) {
  std::map<int, std::string> out;
  const auto bare = words.find(-1);
  for (const ToolTrace& tool : job.tools) {
    const auto own = words.find(tool.tool);
    if (own != words.end()) {
      out[tool.tool] = own->second;
    } else if (bare != words.end() && job.tools.size() == 1) {
      out[tool.tool] = bare->second;
    } else {
      const std::string name = "T" + std::to_string(tool.tool);
      return Error{job_name, "tool " + name + " extrudes and has no spool",
                   "give --spool " + name + "=SPOOL, or --spool " + name +
                       "=none when nobody watches it",
                   kExitUsage};
    }
  }
  return out;
}

Result<Verdict> read_fail_on(const std::string& word) {
  for (const Verdict v :
       {Verdict::kMayCross, Verdict::kWillCross, Verdict::kCannotTell}) {
    if (word == verdict_name(v)) return v;
  }
  return Error{"--fail-on", "\"" + word + "\" is no verdict to fail on",
               "write may-cross, will-cross or cannot-tell", kExitUsage};
}

// Everything up to the report: no file has been touched when this returns.
class Guard {
 public:
  Guard(const GuardWords& words, const World& world) : words_(words), world_(world) {}

  Result<Report> check() {
    auto settings = understand(words_.shared, world_);
    if (!settings) return settings.error();
    settings_ = *std::move(settings);
    auto rules = load_rules(words_.shared);
    if (!rules) return rules.error();
    rules_ = *std::move(rules);
    if (const auto unknown = unknown_firmware()) return *unknown;
    auto map = read_spool_map(words_.spools);
    if (!map) return map.error();
    const auto mounted = take_mounted(*map);
    if (!mounted) return mounted.error();
    for (const auto& [tool, word] : *map) {
      if (word == kNobody || loaded_.count(word)) continue;
      auto spool = load_spool(word, settings_, rules_);
      if (!spool) return spool.error();
      loaded_.emplace(word, *std::move(spool));
    }
    auto job = open_job(words_.job);
    if (!job) return job.error();
    job_ = *std::move(job);
    // The fits need no job, and reading a job needs one core.
    auto fits = std::async(std::launch::async, [this] { fit_all(); });
    auto trace = scan(job_->text, scan_options(*map));
    fits.get();
    if (!trace) return trace.error();
    auto spools = assign_spools(*map, *trace, words_.job);
    if (!spools) return spools.error();
    return report(*std::move(trace), *spools);
  }

  /// After check(): the job as it was opened.
  const OpenJob& job() const { return *job_; }

 private:
  void fit_all() {
    for (const auto& [word, spool] : loaded_) {
      fits_.emplace(word, fit_members(words_.shared, spool, world_));
    }
  }

  std::optional<Error> unknown_firmware() const {
    if (words_.firmware.empty() || find_dialect(rules_.dialects, words_.firmware)) {
      return std::nullopt;
    }
    std::vector<std::string> known;
    for (const Dialect& d : rules_.dialects) known.push_back(d.id);
    return Error{"--firmware", "unknown firmware \"" + words_.firmware + "\"",
                 did_you_mean(words_.firmware, known), kExitUsage};
  }

  // Without --spool, what hangs on the printer; and in any case what the settings file
  // says of it.
  Result<Done> take_mounted(SpoolMap& map) {
    const auto mounts = load_mounts(settings_.shelf);
    if (!mounts) return mounts.error();
    const auto printer = which_printer(*mounts, words_.printer);
    if (!printer) return map.empty() ? Result<Done>(printer.error()) : Done{};
    const auto known = settings_.config.printers.find(*printer);
    if (known != settings_.config.printers.end()) firmware_ = known->second.firmware;
    if (!map.empty()) return Done{};
    for (const Mount& mount : *mounts) {
      if (mount.printer != *printer) continue;
      map[mount.tool] = mount.spool;
      if (mount.feed && !settings_.feed_typed) feeds_[mount.tool] = *mount.feed;
    }
    if (map.empty() && !words_.printer.empty()) {
      return Error{"--printer", "nothing hangs on \"" + words_.printer + "\"",
                   "mount a spool there, or give --spool", kExitUsage};
    }
    return Done{};
  }

  Feed feed_of(int tool) const {
    const auto own = feeds_.find(tool);
    return own == feeds_.end() ? settings_.feed : own->second;
  }

  ScanOptions scan_options(const SpoolMap& map) const {
    ScanOptions out;
    out.dialects = rules_.dialects;
    if (!firmware_.empty()) out.dialect_id = firmware_;
    if (!words_.firmware.empty()) out.dialect_id = words_.firmware;
    out.environment = world_.environment;
    for (const auto& [tool, word] : map) {
      if (word == kNobody) continue;
      const double mm = loaded_.at(word).contest.record.filament_diameter_m * 1000.0;
      for (int t = tool < 0 ? 0 : tool; t <= (tool < 0 ? 15 : tool); ++t) {
        out.filament_diameter_mm.emplace(t, mm);
      }
    }
    return out;
  }

  Report report(Trace trace, const std::map<int, std::string>& spools) {
    Report out;
    out.version = world_.version;
    out.at = settings_.at;
    out.nominal = settings_.nominal;
    out.members = settings_.nominal ? 1 : words_.shared.members;
    out.decides = settings_.decides;
    out.job_file = std::filesystem::path(words_.job).filename().string();
    for (const ToolTrace& tool : trace.tools) {
      const std::string& word = spools.at(tool.tool);
      if (word == kNobody) {
        out.unwatched.push_back("T" + std::to_string(tool.tool));
      } else {
        race_tool(trace, tool, word, out);
      }
    }
    out.job = std::move(trace);
    out.advice = advise(out);
    out.cautions = usual_cautions(out);
    return out;
  }

  void race_tool(const Trace& trace, const ToolTrace& tool, const std::string& word,
                 Report& out) {
    const LoadedSpool& loaded = loaded_.at(word);
    const Contest& contest = loaded.contest;
    const auto curve =
        draw_curve(tool, trace.duration_s, contest.record, contest.material);
    const std::vector<FeedAir> airs = feed_airs(settings_, loaded);
    const SpoolFit& fit = fits_.at(word);
    const SpoolRace race =
        run_race(contest, curve, airs, fit.members, words_.shared.threads);
    SpoolReport spool{.tool = tool.tool,
                      .record = contest.record,
                      .material = contest.material,
                      .body = loaded.body,
                      .limits = contest.limits,
                      .now = race.now,
                      .timeline = contest.timeline,
                      .fit = fit,
                      .told = can_tell(contest, race.now),
                      .notes = loaded.notes,
                      .needed_kg = curve.back().mass_kg};
    const Dialect* dialect = find_dialect(rules_.dialects, trace.firmware);
    for (const FeedRace& feed : race.feeds) {
      const bool in_use = feed.feed.feed == feed_of(tool.tool);
      out.feeds.push_back(
          report_feed(trace, tool, spool, feed, settings_.decides, in_use));
      if (!spool.told) out.feeds.back().verdict = Verdict::kCannotTell;
      if (!in_use || !dialect) continue;
      const LimitRace& limit =
          settings_.decides == LimitKind::kCosmetic ? feed.cosmetic : feed.strength;
      auto message = plan_message(
          {trace, tool, *dialect, contest, feed, limit, trace.tools.size() > 1});
      if (message) out.edits.push_back(*std::move(message));
    }
    out.spools.push_back(std::move(spool));
  }

  const GuardWords& words_;
  const World& world_;
  Settings settings_;
  Rules rules_;
  std::map<std::string, LoadedSpool> loaded_;
  std::map<std::string, SpoolFit> fits_;
  std::optional<OpenJob> job_;
  std::map<int, Feed> feeds_;  // of mounted spools, where that was said
  std::string firmware_;       // of the printer, by the settings file
};

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

int run_guard(const GuardWords& words, const World& world) {
  std::optional<Verdict> fail_on;
  if (!words.fail_on.empty()) {
    const auto verdict = read_fail_on(words.fail_on);
    if (!verdict) return complain(world, verdict.error());
    fail_on = *verdict;
  }
  Guard guard(words, world);
  auto report = guard.check();
  if (!report) return complain(world, report.error());
  const bool failed = fail_on && gravest(*report) >= *fail_on;
  report->edits_written = !words.preview && !failed;
  if (report->edits_written) {
    const auto written = write_edits(words.job, guard.job(), *report);
    if (!written) return complain(world, written.error());
  }
  const Said said{report_text(*report, world.zone), pretty_json(report_json(*report))};
  world.out << (words.shared.json ? said.json : said.text);
  if (words.explain && !words.shared.json) world.out << explain_text(*report->job);
  const auto kept = keep_said(said, world);
  if (!kept) world.talk << "drydepth: " << kept.error().text() << "\n";
  if (!failed) return kExitDone;
  world.talk << "drydepth: " << words.job << ": verdict "
             << verdict_name(gravest(*report)) << " reaches --fail-on " << words.fail_on
             << "; the job stays unedited\n";
  return kExitVerdict;
}

}  // namespace

CommandRun guard_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<GuardWords>();
  app.add_option(
         "--spool", words->spools,
         "Spool of a tool: [T0=]SPOOL, an id on the shelf or a path; T1=none for "
         "a tool that nobody watches; may be repeated")
      ->envname("DRYDEPTH_SPOOL")
      ->type_name("[Tn=]SPOOL")
      ->allow_extra_args(false);
  app.add_option("--printer", words->printer,
                 "Printer whose mounted spools stand where --spool says nothing")
      ->envname("DRYDEPTH_PRINTER")
      ->type_name("NAME");
  add_feed_options(app, words->shared);
  add_model_options(app, words->shared);
  app.add_option("--fail-on", words->fail_on,
                 "Exit with 3 and leave the job alone from this verdict on: may-cross, "
                 "will-cross or cannot-tell")
      ->type_name("VERDICT");
  app.add_option("--firmware", words->firmware,
                 "How the firmware reads G-code, where the job does not tell")
      ->type_name("ID");
  app.add_flag("--explain", words->explain,
               "Say how the job was read, from where, and what was guessed");
  app.add_flag("--preview", words->preview, "Write nothing, only report");
  add_shelf_options(app, words->shared);
  app.add_option("JOB", words->job, "Sliced G-code; edited in place")->required();
  return [words, &world] { return run_guard(*words, world); };
}

}  // namespace drydepth
