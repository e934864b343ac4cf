#pragma once

#include <CLI/App.hpp>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cli/config.h"
#include "cli/world.h"
#include "gcode/dialect.h"
#include "guard/race.h"
#include "rules/bodies.h"
#include "rules/evidence_rules.h"
#include "rules/policy.h"
#include "sheet/report.h"
#include "spool/fit.h"

namespace drydepth {

/// The words of the options that several commands share, as typed; empty: not given, so
/// that the settings file or what is built in decides.
struct SharedWords {
  std::string shelf, rules, room, box, dryer, at, feed, limit;
  std::size_t members = 64;
  std::uint64_t seed = 1;
  unsigned threads = 0;
  std::vector<std::string> without;  ///< times of readings and findings to leave out
  bool fresh = false;                ///< fit anew, kept estimate or not
  bool kept_only = false;            ///< no members rather than a new fit
  bool nominal = false;
  bool json = false;
};

void add_shelf_options(CLI::App& command, SharedWords& words);
void add_model_options(CLI::App& command, SharedWords& words);
void add_feed_options(CLI::App& command, SharedWords& words);

/// The rule files as loaded, embedded ones under the overlay.
struct Rules {
  std::vector<Material> materials;
  std::vector<Body> bodies;
  std::vector<Dialect> dialects;
  EvidenceRules evidence;
  Policy policy;
};
Result<Rules> load_rules(const SharedWords& words);

/// The shared options understood. Errors name the option.
struct Settings {
  std::filesystem::path shelf;
  StatedAir room{}, box{};
  std::optional<double> dryer_k{};
  Instant at{};
  Feed feed = Feed::kOpen;
  bool feed_typed = false;  ///< said for this run: stronger than what a mount says
  LimitKind decides = LimitKind::kCosmetic;
  std::vector<Instant> without{};  ///< readings and findings to leave out
  bool nominal = false;
  Config config{};
};
Result<Settings> understand(const SharedWords& words, const World& world);

/// --shelf, else $XDG_DATA_HOME/drydepth/shelf, else ~/.local/share/drydepth/shelf.
std::filesystem::path shelf_folder(const SharedWords& words, const World& world);

/// A record with its material and body, laid out until `at`.
struct LoadedSpool {
  std::filesystem::path path;
  Contest contest;
  Body body;
  std::vector<std::string> notes;
};
Result<LoadedSpool> load_spool(const std::string& word, const Settings& settings,
                               const Rules& rules);

/// The same of a record that is at hand; what it names is sought from `path`.
Result<LoadedSpool> lay_out_spool(SpoolRecord record, const std::filesystem::path& path,
                                  const Settings& settings, const Rules& rules);

/// The ensemble of a spool: fitted to its readings, else drawn from the priors; one
/// member at central values when nominal. Kept beside the record, and taken from there
/// while neither it nor the rules have changed. Without members where only a new fit
/// would give them and `words.kept_only` forbids it.
SpoolFit fit_members(const SharedWords& words, const LoadedSpool& spool,
                     const World& world, Tally* tally = nullptr);

/// The lowest of what polymer and body stand, K.
double drying_ceiling_k(const LoadedSpool& spool);

/// What each feed means for a spool: room, box, and a live dryer that stays 10 C under
/// the lowest limit of polymer and body unless told otherwise.
std::vector<FeedAir> feed_airs(const Settings& settings, const LoadedSpool& spool);

/// Prints the error as one sentence on standard error; its exit code.
int complain(const World& world, const Error& error);

}  // namespace drydepth
