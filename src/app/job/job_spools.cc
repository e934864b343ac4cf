#include "app/job/job_spools.h"

#include "base/exit_code.h"
#include "base/files.h"
#include "base/nearest.h"
#include "gcode/read/spool_names.h"
#include "record/mounts.h"

namespace drydepth {
namespace {

std::optional<Error> unknown_firmware(const std::string& word, const Rules& rules) {
  if (word.empty() || find_dialect(rules.dialects, word)) return std::nullopt;
  std::vector<std::string> known;
  for (const Dialect& d : rules.dialects) known.push_back(d.id);
  return Error{"--firmware", "unknown firmware \"" + word + "\"",
               did_you_mean(word, known), kExitUsage};
}

// The printer that is meant where neither a word nor a mount names one: the only one of
// the settings file.
std::string named_printer(const std::string& printer, const Config& config) {
  if (!printer.empty() || config.printers.size() != 1) return printer;
  return config.printers.begin()->first;
}

// Without --spool, what hangs on the printer; and in any case what the settings file
// says of it.
Result<Done> take_mounted(const JobWords& words, JobSpools& out) {
  const auto mounts = load_mounts(out.settings.shelf);
  if (!mounts) return mounts.error();
  const auto printer = which_printer(*mounts, words.printer);
  if (!printer) return out.map.empty() ? Result<Done>(printer.error()) : Done{};
  const auto& printers = out.settings.config.printers;
  const auto known = printers.find(named_printer(*printer, out.settings.config));
  if (known != printers.end()) {
    out.firmware = known->second.firmware;
    out.purge_mm = known->second.purge_mm;
    out.attended = known->second.attended;
  }
  if (!out.map.empty()) return Done{};
  for (const Mount& mount : *mounts) {
    if (mount.printer != *printer) continue;
    out.map[mount.tool] = mount.spool;
    if (mount.feed && !out.settings.feed_typed) out.feeds[mount.tool] = *mount.feed;
  }
  if (out.map.empty() && !words.printer.empty()) {
    return Error{"--printer", "nothing hangs on \"" + words.printer + "\"",
                 "mount a spool there, or give --spool", kExitUsage};
  }
  return Done{};
}

}  // namespace

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

SpoolMap spools_named_in(const std::filesystem::path& path, const OpenJob& job,
                         const Caller& caller) {
  std::string text;
  if (job.container == Container::kText) {
    auto ends = read_ends(path, kNamesAtTop, kNamesAtEnd);
    if (!ends) return {};
    text = *std::move(ends);
  } else {
    const auto read = job.text.read([&](std::string_view piece) {
      text.append(piece);
      return true;
    });
    if (!read) return {};
  }
  SpoolMap named = named_spools(text);
  const auto notes = caller.environment.find("SLIC3R_FILAMENT_NOTES");
  if (notes != caller.environment.end() && named.count(-1) == 0) {
    named.merge(spools_in_notes(notes->second));
  }
  return named;
}

Result<JobSpools> gather_spools(const JobWords& words, const Caller& caller,
                                const SpoolMap& named) {
  JobSpools out;
  auto settings = understand(words.shared, caller);
  if (!settings) return settings.error();
  out.settings = *std::move(settings);
  auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  out.rules = *std::move(rules);
  if (const auto unknown = unknown_firmware(words.firmware, out.rules)) return *unknown;
  auto map = read_spool_map(words.spools);
  if (!map) return map.error();
  out.map = *std::move(map);
  if (out.map.count(-1) == 0) out.map.insert(named.begin(), named.end());
  const auto mounted = take_mounted(words, out);
  if (!mounted) return mounted.error();
  if (!words.firmware.empty()) out.firmware = words.firmware;
  for (const auto& [tool, word] : out.map) {
    if (word == kNobody || out.loaded.count(word)) continue;
    auto spool = load_spool(word, out.settings, out.rules);
    if (!spool) return spool.error();
    out.loaded.emplace(word, *std::move(spool));
  }
  return out;
}

std::map<std::string, SpoolFit> fit_all(const JobSpools& spools,
                                        const SharedWords& words,
                                        const std::string& version, Tally* tally) {
  std::map<std::string, SpoolFit> out;
  for (const auto& [word, spool] : spools.loaded) {
    out.emplace(word, fit_members(words, spool, version, tally));
  }
  return out;
}

Result<ScanOptions> scan_options(const JobSpools& spools, const JobWords& words,
                                 const Caller& caller) {
  ScanOptions out;
  out.dialects = spools.rules.dialects;
  if (!spools.firmware.empty()) out.dialect_id = spools.firmware;
  out.environment = caller.environment;
  out.purge_mm = spools.purge_mm;
  for (const auto& [tool, word] : spools.map) {
    if (word == kNobody) continue;
    const double mm = spools.loaded.at(word).record.filament_diameter_m * 1000.0;
    for (int t = tool < 0 ? 0 : tool; t <= (tool < 0 ? 15 : tool); ++t) {
      out.filament_diameter_mm.emplace(t, mm);
    }
  }
  const auto understood = understand_reading(words.reading, out);
  if (!understood) return understood.error();
  return out;
}

Feed feed_of(const JobSpools& spools, int tool) {
  const auto own = spools.feeds.find(tool);
  return own == spools.feeds.end() ? spools.settings.feed : own->second;
}

}  // namespace drydepth
