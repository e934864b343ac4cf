#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "app/request/caller.h"
#include "app/request/settings_file.h"
#include "rules/limit.h"
#include "spool/lay_out.h"

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

/// The shared options understood. Errors name the option.
struct Settings {
  std::filesystem::path shelf;
  FeedPlaces places{};
  Instant at{};
  Feed feed = Feed::kOpen;
  bool feed_typed = false;  ///< said for this run: stronger than what a mount says
  Limit decides = Limit::kCosmetic;
  std::vector<Instant> without{};  ///< readings and findings to leave out
  bool nominal = false;
  Config config{};

  Circumstances around() const { return {at, places, without}; }
};
Result<Settings> understand(const SharedWords& words, const Caller& caller);

/// --shelf, else $XDG_DATA_HOME/drydepth/shelf, else ~/.local/share/drydepth/shelf.
std::filesystem::path shelf_folder(const SharedWords& words, const Caller& caller);

}  // namespace drydepth
