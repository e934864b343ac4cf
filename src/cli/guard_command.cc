#include <memory>

#include "app/job/check_job.h"
#include "app/outputs/into.h"
#include "app/outputs/last.h"
#include "base/exit_code.h"
#include "base/files.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "page/job_sheet.h"
#include "report/json.h"
#include "report/text.h"

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
  auto checked = watched(world, [&](const Progress& progress) {
    return check_job({words.job, words.on, *actions}, world.caller, progress);
  });
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
  auto into = Into::prepare(words.into, *report, world.caller.zone);
  if (!into) return complain(world, into.error());
  const Said said{report_text(*report, world.caller.zone),
                  pretty_json(report_json(*report))};
  if (report->edits_written) {
    const auto written = write_edits(
        words.job, *checked,
        words.write_binary ? BinaryWriting::kTried : BinaryWriting::kRefused);
    if (!written) return complain(world, written.error());
  }
  const bool json = words.on.shared.json;
  print(world, json ? said.json : said.text, json ? Bold::kNothing : Bold::kHeadings);
  if (words.explain && !json) print(world, explain_text(*report->job));
  const auto kept = keep_said(said, world.caller);
  if (!kept) talk(world, "drydepth: " + kept.error().text() + "\n");
  if (*page) {
    add_courses(*report, words.on.shared.threads);
    const auto drawn = keep_page(**page, job_sheet(*report, world.caller.zone));
    if (!drawn) return complain(world, drawn.error());
  }
  const auto put = into->commit();
  if (!put) return complain(world, put.error());
  talk(world, *put);
  if (!failed) return kExitDone;
  talk(world, "drydepth: " + shown(words.job) + ": verdict " +
                  std::string(verdict_name(gravest(*report))) + " reaches --fail-on " +
                  words.fail_on + "; the job stays unedited\n");
  return kExitVerdict;
}

}  // namespace

CommandRun guard_command(Command& app, const World& world) {
  auto words = std::make_shared<GuardWords>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  add_model_options(app, words->on.shared);
  add_action_options(app, words->actions);
  app.add_option("--fail-on", words->fail_on,
                 "Exit with 3 and leave the job alone from this verdict on: may-cross, "
                 "will-cross or cannot-tell")
      .type_name("VERDICT");
  app.add_flag("--explain", words->explain,
               "Say how the job was read, from where, and what was guessed");
  app.add_option("--sheet", words->sheet, "Write the job sheet, a page of HTML, there")
      .type_name("FILE");
  add_into_options(app, words->into);
  app.add_flag("--write-binary", words->write_binary,
               "Experimental: write binary G-code back, its commands without "
               "compression; the format allows that, no firmware is known to take it");
  app.add_flag("--preview", words->preview, "Write nothing, only report");
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->job, "Sliced G-code; edited in place").required();
  return [words, &world] { return run_guard(*words, world); };
}

}  // namespace drydepth
