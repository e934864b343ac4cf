#include "cli/into.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>

#include "base/exit_code.h"
#include "sheet/host.h"

namespace drydepth {

void add_into_options(CLI::App& app, IntoWords& words) {
  app.add_option(
         "--into", words.files,
         "Put a summary into this Markdown, HTML, JSON or CSV file, or renew it "
         "there; may be repeated")
      ->type_name("FILE")
      ->allow_extra_args(false);
  app.add_option("--into-format", words.format,
                 "What that file is, where its name does not say: markdown, html, json "
                 "or csv")
      ->type_name("WORD");
  app.add_option("--row", words.row,
                 "With --into a CSV file: the job's row, WORD or COLUMN=WORD; default: "
                 "the row that names the job's file")
      ->type_name("ROW");
}

std::vector<Target> targets_of(const IntoWords& words, const std::string& option,
                               const std::string& file) {
  std::vector<Target> out;
  if (!file.empty()) out.push_back({option, file});
  for (const std::string& document : words.files) out.push_back({"--into", document});
  return out;
}

Result<Into> Into::prepare(const IntoWords& words, const Report& report,
                           const LocalZone& zone) {
  Into out;
  for (const std::string& file : words.files) {
    if (out.holds(file)) continue;
    const auto format = host_format(file, words.format);
    if (!format) return format.error();
    auto text = read_whole_file(file);
    if (!text) return text.error();
    const auto put = put_summary({file, *format, *text, words.row}, report, zone);
    if (!put) return put.error();
    Change change{.file = file, .before = *std::move(text), .after = {}};
    if (*put != change.before) {
      auto target = AtomicFile::open(file);
      if (!target) return target.error();
      const auto written = target->write(*put);
      if (!written) return written.error();
      change.after.emplace(*std::move(target));
    }
    out.changes_.push_back(std::move(change));
  }
  return out;
}

bool Into::holds(const std::string& file) const {
  return std::any_of(changes_.begin(), changes_.end(), [&](const Change& change) {
    std::error_code missing;  // reading says so
    return std::filesystem::equivalent(change.file, file, missing);
  });
}

Result<std::string> Into::commit() {
  std::string out;
  for (Change& change : changes_) {
    if (!change.after) {
      out += change.file + ": the summary stands there already\n";
      continue;
    }
    const auto now = read_whole_file(change.file);
    if (!now) return now.error();
    if (*now != change.before) {
      return Error{change.file, "was changed by somebody else in the meantime",
                   "run this again", kExitCannotCreate};
    }
    const auto done = change.after->commit();
    if (!done) return done.error();
    out += change.file + ": summary put in\n";
  }
  return out;
}

}  // namespace drydepth
