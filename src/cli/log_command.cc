// log and undo: what happens to a spool, a line each.

#include <memory>

#include "app/job/log_print.h"
#include "app/shelf/effect.h"
#include "app/shelf/log_event.h"
#include "base/exit_code.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"

namespace drydepth {
namespace {

struct LogWords {
  LogRequest event;
  PrintWords print;
  bool quiet = false;
};

struct UndoWords {
  SharedWords shared;
  std::string spool;
  std::optional<std::size_t> event;
  bool quiet = false;
};

void add_effect_options(Command& app, SharedWords& shared, bool& quiet) {
  app.add_option("--at", shared.at,
                 "Moment of the estimate in the answer; default the last one that the "
                 "record speaks of")
      .type_name("TIME");
  app.add_flag("--quiet", quiet, "No estimate in the answer");
}

// What was done is on the disk: that is said before an estimate that one may not wait
// for.
int answer(const World& world, const SharedWords& shared, bool quiet,
           const Result<Logged>& logged) {
  if (!logged) return complain(world, logged.error());
  print(world, logged->said);
  if (quiet) return kExitDone;
  print(world, watched(world, [&](const Progress& progress) {
          return effect_line(shared, logged->change, world.caller, progress);
        }));
  return kExitDone;
}

// "log print JOB" where "print" stands for no spool: one word follows, and it is none
// of those that begin an event.
bool is_print_of_job(const LogRequest& words) {
  return words.spool == "print" && words.words.size() == 1 && words.words[0] != "stop";
}

// Options that log print JOB alone has.
std::optional<Error> misplaced(const PrintWords& print) {
  for (const auto& [option, text] :
       {std::pair("--from", print.from),
        {"--to", print.to},
        {"--stopped-at", print.stopped_at},
        {"--spool", print.spools.empty() ? "" : print.spools.front()}}) {
    if (text.empty()) continue;
    return Error{option, "goes with log print JOB only",
                 "write since TIME, until TIME, for 12h", kExitUsage};
  }
  return std::nullopt;
}

int run_log(const LogWords& words, const World& world) {
  const LogRequest& event = words.event;
  if (is_print_of_job(event)) {
    PrintWords all = words.print;
    all.shared = event.shared;
    all.job = event.words[0];
    const auto text = log_print(all, world.caller);
    if (!text) return complain(world, text.error());
    print(world, *text);
    return kExitDone;
  }
  if (const auto error = misplaced(words.print)) return complain(world, *error);
  const Doubting doubting{.ask = world.ask, .say = [&](const std::string& sentence) {
                            talk(world, "drydepth: " + sentence + "\n");
                          }};
  return answer(world, event.shared, words.quiet,
                log_event(event, world.caller, doubting));
}

}  // namespace

CommandRun log_command(Command& app, const World& world) {
  auto words = std::make_shared<LogWords>();
  LogRequest& event = words->event;
  PrintWords* const print = &words->print;
  add_shelf_options(app, event.shared);
  app.add_option("SPOOL", event.spool, "An id on the shelf, or a record's path")
      .required();
  app.add_option(
         "WORDS", event.words,
         "weighing 1211.4g [TIME] [scale 0.1g] | drying 82C [room AIR] [SPAN] | "
         "storage [AIR] [SPAN] | print 120g [feed WORD] [AIR] [job NAME] [SPAN] | "
         "piece 3.42g 3.35g [scale 1mg] [dried 80C] [TIME] | "
         "coupon 20=20.33 100=99.47 [sd 0.02] [TIME] | "
         "purge [5pops | no pops] [strings | no strings] [of 100mm] [TIME] | "
         "respool BODY [tare MASS] [hub 80mm] [width 55mm] [outer 190mm] [AIR] [TIME] "
         "| "
         "stop [TIME]; AIR: 23C/45% or log FILE; SPAN: since TIME, until TIME, for "
         "12h; or, with print for SPOOL, a guarded JOB that was printed")
      .required();
  app.add_option("--csv", event.csv, "Weighings of a scale's file, with their times")
      .type_name("FILE");
  app.add_option("--dryer", event.dryer,
                 "Dryer, or dryer/place in it, whose set temperature the settings file "
                 "corrects")
      .type_name("DRYER");
  app.add_flag("--strict", event.strict, "Refuse what is odd instead of asking");
  add_effect_options(app, event.shared, words->quiet);
  app.add_option(
         "--from", print->from,
         "log print JOB: when the guarded job was started; default the start it "
         "was checked for")
      .type_name("TIME");
  app.add_option("--to", print->to, "log print JOB: when it ended").type_name("TIME");
  app.add_option("--stopped-at", print->stopped_at,
                 "log print JOB: where it ended early, L31, 62% of its time, or \"line "
                 "51234\" of the file")
      .type_name("PLACE");
  app.add_option("--spool", print->spools,
                 "log print JOB: where the record of a tool's spool is now")
      .type_name("[Tn=]SPOOL")
      .repeated();
  return [words, &world] { return run_log(*words, world); };
}

CommandRun undo_command(Command& app, const World& world) {
  auto words = std::make_shared<UndoWords>();
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      .required();
  app.add_option("--event", words->event,
                 "Which one, as in /events of the record, from 0; else the last")
      .type_name("N");
  add_effect_options(app, words->shared, words->quiet);
  return [words, &world] {
    const auto shelf = shelf_folder(words->shared, world.caller);
    return answer(world, words->shared, words->quiet,
                  undo_event(words->spool, words->event, shelf, world.caller));
  };
}

}  // namespace drydepth
