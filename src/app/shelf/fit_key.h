#pragma once

#include <cstdint>
#include <string>

#include "inference/sampling.h"
#include "spool/spool.h"

namespace drydepth {

/// What a fit depends on, as one digest: the text of the rules, the record's text as
/// far as something was learned by then, the timeline up to there, the options and the
/// tool's version. What is logged later keeps the fit.
std::string fit_key(const Spool& spool, const PosteriorOptions& options,
                    const std::string& version);

}  // namespace drydepth
