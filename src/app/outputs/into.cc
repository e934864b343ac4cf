#include "app/outputs/into.h"

#include <algorithm>
#include <filesystem>

#include "base/exit_code.h"
#include "base/shown.h"
#include "report/into/host.h"

namespace drydepth {

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
      out += shown(change.file) + ": the summary stands there already\n";
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
    out += shown(change.file) + ": summary put in\n";
  }
  return out;
}

}  // namespace drydepth
