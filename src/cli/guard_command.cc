#include <CLI/CLI.hpp>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "cli/action_words.h"
#include "cli/commands.h"
#include "cli/into.h"
#include "cli/job_report.h"
#include "cli/last.h"
#include "gcode/container.h"
#include "gcode/rewrite.h"
#include "gcode/splice.h"
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
  IntoWords into;
  std::string job, fail_on, sheet;
  bool preview = false;
  bool explain = false;
  bool write_binary = false;
};

Result<Verdict> read_fail_on(const std::string& word) {
  for (const Verdict v :
       {Verdict::kMayCross, Verdict::kWillCross, Verdict::kCannotTell}) {
    if (word == verdict_name(v)) return v;
  }
  return Error{"--fail-on", "\"" + word + "\" is no verdict to fail on",
               "write may-cross, will-cross or cannot-tell", kExitUsage};
}

// A plain file that holds no blocks yet is copied around the edits.
Result<Done> write_edits(const std::string& path, const JobReport& checked,
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

// The gravest verdict of the feeds in use.
Verdict gravest(const Report& report) {
  Verdict out = Verdict::kStaysDry;
  for (const FeedReport& f : report.feeds) {
    if (f.in_use) out = std::max(out, counted(report, f));
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
  auto checked = report_job(words.on, *actions, words.job, world);
  if (!checked) return complain(world, checked.error());
  Report* const report = &checked->report;
  const bool failed = fail_on && gravest(*report) >= *fail_on;
  report->edits_written = !words.preview && !failed;
  const auto apart =
      keep_apart(targets_of(words.into, "--sheet", words.sheet), checked->read);
  if (!apart) return complain(world, apart.error());
  // A page that may not be written is found out before the job is touched.
  auto page = open_page(words.sheet);
  if (!page) return complain(world, page.error());
  auto into = Into::prepare(words.into, *report, world.zone);
  if (!into) return complain(world, into.error());
  const Said said{report_text(*report, world.zone), pretty_json(report_json(*report))};
  if (report->edits_written) {
    const auto written = write_edits(
        words.job, *checked,
        words.write_binary ? BinaryWriting::kTried : BinaryWriting::kRefused);
    if (!written) return complain(world, written.error());
  }
  world.out << (words.on.shared.json ? said.json
                : world.bold         ? emphasised(said.text)
                                     : said.text);
  if (words.explain && !words.on.shared.json) world.out << explain_text(*report->job);
  const auto kept = keep_said(said, world);
  if (!kept) world.talk << "drydepth: " << kept.error().text() << "\n";
  if (*page) {
    add_courses(*report, words.on);
    const auto drawn = keep_page(**page, job_sheet(*report, world.zone));
    if (!drawn) return complain(world, drawn.error());
  }
  const auto put = into->commit();
  if (!put) return complain(world, put.error());
  world.talk << *put;
  if (!failed) return kExitDone;
  world.talk << "drydepth: " << words.job << ": verdict "
             << verdict_name(gravest(*report)) << " reaches --fail-on " << words.fail_on
             << "; the job stays unedited\n";
  return kExitVerdict;
}

}  // namespace

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
  add_into_options(app, words->into);
  app.add_flag("--write-binary", words->write_binary,
               "Experimental: write binary G-code back, its commands without "
               "compression; the format allows that, no firmware is known to take it");
  app.add_flag("--preview", words->preview, "Write nothing, only report");
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->job, "Sliced G-code; edited in place")->required();
  return [words, &world] { return run_guard(*words, world); };
}

}  // namespace drydepth
