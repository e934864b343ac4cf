#pragma once

#include <filesystem>
#include <string>

#include "app/request/settings.h"
#include "spool/lay_out.h"

namespace drydepth {

/// The spool that a word names, laid out as the settings say. Error for a record that
/// cannot be found or read, and as lay_out().
Result<Spool> load_spool(const std::string& word, const Settings& settings,
                         const Rules& rules);

/// The same of a record that is at hand; what it names is sought from `path`.
Result<Spool> lay_out_from(SpoolRecord record, const std::filesystem::path& path,
                           const Settings& settings, const Rules& rules);

}  // namespace drydepth
