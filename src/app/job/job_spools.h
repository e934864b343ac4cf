#pragma once

// Which spool feeds which tool of a job: typed, or mounted on a printer.

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "app/request/reading_words.h"
#include "app/request/settings.h"
#include "app/shelf/kept_fit.h"
#include "app/shelf/load_spool.h"
#include "gcode/container/container.h"
#include "gcode/read/scan.h"

namespace drydepth {

/// The words of the options that every command on a job shares, as typed.
struct JobWords {
  SharedWords shared;
  std::vector<std::string> spools;  ///< [T0=]SPOOL
  std::string firmware, printer;
  ReadingWords reading;
};

/// The word for a tool that nobody watches.
constexpr std::string_view kNobody = "none";

/// Which spool feeds which tool, as typed; -1 stands for "the only tool".
using SpoolMap = std::map<int, std::string>;
Result<SpoolMap> read_spool_map(const std::vector<std::string>& words);

/// The settings, the rules and every spool named, read once.
struct JobSpools {
  Settings settings{};
  Rules rules{};
  SpoolMap map{};
  std::map<std::string, Spool> loaded{};  ///< by the word that named it
  std::map<int, Feed> feeds{};            ///< of mounted spools, where that was said
  std::string firmware{};  ///< typed, else the printer's by the settings file
  double purge_mm = 0;     ///< the printer's allowance, by the settings file
  std::string attended{};  ///< hours, the same
};
/// `named`: spools that the job names itself; an option stands over them, they stand
/// over a mount. Error for the first option, mount or record that is wrong.
Result<JobSpools> gather_spools(const JobWords& words, const Caller& caller,
                                const SpoolMap& named = {});

/// Spools that a job names in its comments or the slicer in its notes. Nothing where
/// the job cannot be read: whoever scans it says so.
SpoolMap spools_named_in(const std::filesystem::path& path, const OpenJob& job,
                         const Caller& caller);

/// An ensemble for each spool, by the same words.
std::map<std::string, SpoolFit> fit_all(const JobSpools& spools,
                                        const SharedWords& words,
                                        const std::string& version,
                                        Tally* tally = nullptr);

/// How the jobs are to be read. Error (exit 64) names the option.
Result<ScanOptions> scan_options(const JobSpools& spools, const JobWords& words,
                                 const Caller& caller);

/// The spool word of each tool that extrudes. A bare word stands for the only one.
/// Error (exit 64) for a tool without one.
Result<std::map<int, std::string>> assign_spools(const SpoolMap& words,
                                                 const Trace& job,
                                                 const std::string& job_name);

/// How a tool's spool stands while printing.
Feed feed_of(const JobSpools& spools, int tool);

}  // namespace drydepth
