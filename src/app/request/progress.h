#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>

#include "base/files.h"
#include "base/tally.h"
#include "gcode/container/container.h"

namespace drydepth {

/// Told what a long call is at, e.g. "fitting the weighings", and what counts how far
/// it is. Called from the caller's own thread.
using Progress =
    std::function<void(std::string phase, std::shared_ptr<const Tally> tally)>;

/// Does nothing where nobody listens.
void tell(const Progress& progress, std::string phase,
          std::shared_ptr<const Tally> tally = nullptr);

/// A job's text, counted as it is read, against the size of its file; what is packed
/// has no total. A second reading begins anew.
ByteSource tallied(const OpenJob& job, const std::filesystem::path& file, Tally& tally);

}  // namespace drydepth
