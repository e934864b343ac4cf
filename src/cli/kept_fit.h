#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "guard/race.h"
#include "spool/fit.h"

namespace drydepth {

/// What a fit hangs on, as one number: the record but for its events, the material's
/// and priors' values, the timeline with its readings and findings up to the last one,
/// the options and the tool's version. What is logged later keeps the fit.
struct FitKey {
  std::uint64_t hash = 0;
};
FitKey fit_key(const Contest& contest, const PosteriorOptions& options,
               const std::string& version);

/// The fit kept beside a record (K-07.json: .K-07.fit), if it was made under this key;
/// `found`: the timeline's findings, which the key covers.
std::optional<SpoolFit> read_kept_fit(const std::filesystem::path& record, FitKey key,
                                      const std::vector<OuterEvidence>& found);

/// Keeps a fit there. A folder that takes no files is no error: it is fitted again.
void keep_fit(const std::filesystem::path& record, FitKey key, const SpoolFit& fit);

}  // namespace drydepth
