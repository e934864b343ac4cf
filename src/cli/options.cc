#include "cli/options.h"

namespace drydepth {

void add_shelf_options(Command& command, SharedWords& words) {
  command.add_option("--shelf", words.shelf, "Folder of spool records")
      .envname("DRYDEPTH_SHELF")
      .type_name("DIR");
  command.add_option("--rules", words.rules, "Folder that overlays the rule files")
      .envname("DRYDEPTH_RULES")
      .type_name("DIR");
}

void add_model_options(Command& command, SharedWords& words) {
  command
      .add_option("--at", words.at,
                  "Moment of the job's start or of the estimate: now, 22:00, tomorrow "
                  "08:00, 2026-03-06T06:30:00Z")
      .type_name("TIME");
  command.add_option("--room", words.room, "Room air, where nothing else is known")
      .default_str("23C/45%")
      .envname("DRYDEPTH_ROOM")
      .type_name("AIR");
  command
      .add_option("--limit", words.limit, "Which limit decides: cosmetic or strength")
      .default_str("cosmetic")
      .envname("DRYDEPTH_LIMIT")
      .type_name("WORD");
  command.add_option("--members", words.members, "Ensemble members (32 to 4096)")
      .capture_default_str()
      .between(32, 4096)
      .type_name("N");
  command.add_option("--seed", words.seed, "Seed of the ensemble")
      .capture_default_str()
      .type_name("N");
  command.add_option("--threads", words.threads, "Threads; 0 takes all cores")
      .capture_default_str()
      .type_name("N");
  command
      .add_option(
          "--without", words.without,
          "Leave the weighing, piece, coupon or purge of this moment out of the fit, "
          "as the record writes it; may be "
          "repeated")
      .type_name("TIME")
      .repeated();
  command.add_flag("--fresh", words.fresh,
                   "Fit anew, without the estimate kept before");
  command.add_flag("--nominal", words.nominal, "One run at central values, no ranges");
  command.add_flag("--json", words.json, "Print the result as JSON");
}

void add_feed_options(Command& command, SharedWords& words) {
  command
      .add_option("--feed", words.feed,
                  "How the spool stands while printing: open, dry-box or live-dryer")
      .default_str("open")
      .envname("DRYDEPTH_FEED")
      .type_name("WORD");
  command.add_option("--box", words.box, "Air in the dry box")
      .default_str("25C/15%")
      .envname("DRYDEPTH_BOX")
      .type_name("AIR");
  command
      .add_option(
          "--dryer", words.dryer,
          "Temperature of the live dryer; default 10 C under the lowest limit of "
          "polymer and spool body")
      .envname("DRYDEPTH_DRYER")
      .type_name("TEMP");
}

void add_reading_options(Command& command, ReadingWords& words) {
  command
      .add_option("--e-mode", words.e_mode,
                  "How E stands until the job's first M82 or M83")
      .type_name("absolute|relative");
  command.add_option("--e-is", words.e_is, "What E counts: mm, or mm3")
      .type_name("length|volume");
  command
      .add_option("--diameter", words.diameters,
                  "Filament of a job whose E is a volume; may be repeated")
      .type_name("[Tn=]MM")
      .repeated();
  command
      .add_option("--duration", words.duration,
                  "How long the job takes, in place of what it states")
      .type_name("TIME");
  command
      .add_option("--purge", words.purge,
                  "Filament that the printer itself purges at each change of tool")
      .type_name("MM");
  command.add_option("--plate", words.plate, "Which job of a packed project")
      .type_name("N");
}

void add_action_options(Command& app, ActionWords& words) {
  app.add_option(
         "--action", words.actions,
         "What to write besides the note: message (built in), pause, adjust "
         "(nozzle down, retractions longer), or note for nothing more; may be repeated")
      .envname("DRYDEPTH_ACTION")
      .delimiter(',')
      .type_name("ACTION")
      .repeated();
  app.add_option("--attended", words.attended,
                 "Hours in which somebody is there to answer a pause, 07:00-22:00")
      .envname("DRYDEPTH_ATTENDED")
      .type_name("HOURS");
  app.add_option("--support", words.support,
                 "How the verdict counts of a tool that prints support and tower only: "
                 "same, less or ignore")
      .default_str("less")
      .envname("DRYDEPTH_SUPPORT")
      .type_name("WORD");
}

void add_job_options(Command& app, JobWords& words) {
  app.add_option(
         "--spool", words.spools,
         "Spool of a tool: [T0=]SPOOL, an id on the shelf or a path; T1=none for "
         "a tool that nobody watches; may be repeated")
      .envname("DRYDEPTH_SPOOL")
      .type_name("[Tn=]SPOOL")
      .repeated();
  app.add_option("--printer", words.printer,
                 "Printer whose mounted spools stand where --spool says nothing")
      .envname("DRYDEPTH_PRINTER")
      .type_name("PRINTER");
  app.add_option("--firmware", words.firmware,
                 "The firmware that will read the job; default what the job tells")
      .type_name("FIRMWARE");
  add_reading_options(app, words.reading);
}

void add_into_options(Command& app, IntoWords& words) {
  app.add_option(
         "--into", words.files,
         "Put a summary into this Markdown, HTML, JSON or CSV file, or renew it "
         "there; may be repeated")
      .type_name("FILE")
      .repeated();
  app.add_option("--into-format", words.format,
                 "What that file is, where its name does not say: markdown, html, json "
                 "or csv")
      .type_name("WORD");
  app.add_option("--row", words.row,
                 "With --into a CSV file: the job's row, WORD or COLUMN=WORD; default: "
                 "the row that names the job's file")
      .type_name("ROW");
}

}  // namespace drydepth
