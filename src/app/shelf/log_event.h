#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/request/settings.h"
#include "app/shelf/effect.h"

namespace drydepth {

/// Something that happened to a spool.
struct LogRequest {
  std::string spool;               ///< a SPOOL word
  std::vector<std::string> words;  ///< see parse_log()
  std::string csv{};               ///< weighings of a scale's file
  std::string dryer{};             ///< NAME or NAME/PLACE of the settings file
  bool strict = false;             ///< what is odd is refused
  SharedWords shared{};
};

/// Who hears of what is odd. `ask` empty: nobody is there, so it is said and logged.
struct Doubting {
  std::function<bool(const std::string& question)> ask{};
  std::function<void(const std::string& sentence)> say{};
};

/// A record with its change, and the line that says it.
struct Logged {
  RecordChange change{};
  std::string said{};
};

/// Adds an event to a record, or ends what is running. Error for words that cannot be
/// read and for what cannot be; the record is as it was then. Odd readings are asked
/// about before the record is locked, so that nobody waits for a person's answer; the
/// change itself is made to what the record says by then.
Result<Logged> log_event(const LogRequest& request, const Caller& caller,
                         const Doubting& doubting = {});

/// Takes an event out (counted from 0; nothing: the last one); the record's history
/// keeps it.
Result<Logged> undo_event(const std::string& spool, std::optional<std::size_t> event,
                          const std::filesystem::path& shelf, const Caller& caller);

}  // namespace drydepth
