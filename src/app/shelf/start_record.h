#pragma once

#include <string>

#include "app/request/settings.h"
#include "spool/new_spool.h"

namespace drydepth {

/// A spool whose record is to be started.
struct NewRequest {
  NewSpool spool{};
  std::string opened{};   ///< a moment, as typed
  std::string history{};  ///< "unknown", or empty
  SharedWords shared{};
};

/// Writes a new record onto the shelf, which it may begin; what was done, in a line.
/// Error for a word that cannot be read, for an id that is taken or no file's name, and
/// as make_record().
Result<std::string> start_record(NewRequest request, const Caller& caller);

}  // namespace drydepth
