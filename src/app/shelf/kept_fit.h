#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "app/request/settings.h"
#include "spool/fit/fit.h"

namespace drydepth {

/// The fit kept beside a record (K-07.json: .K-07.fit), if it was made under this key;
/// `found`: the timeline's findings, which the key covers.
std::optional<SpoolFit> read_kept_fit(const std::filesystem::path& record,
                                      const std::string& key,
                                      const std::vector<OuterEvidence>& found);

/// Keeps a fit there. A folder that takes no files is no error: it is fitted again.
void keep_fit(const std::filesystem::path& record, const std::string& key,
              const SpoolFit& fit);

/// The ensemble of a spool: fitted to its readings, else drawn from the priors; one
/// member at central values when nominal. Kept beside the record, and taken from there
/// while neither it nor the rules have changed. Without members where only a new fit
/// would give them and `words.kept_only` forbids it.
SpoolFit fit_members(const SharedWords& words, const Spool& spool,
                     const std::string& version, Tally* tally = nullptr);

}  // namespace drydepth
