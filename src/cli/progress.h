#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <filesystem>
#include <mutex>
#include <string>
#include <thread>

#include "base/tally.h"
#include "cli/world.h"
#include "gcode/container.h"

namespace drydepth {

/// Says on standard error what a long command is at, how far and for how long, on one
/// line that is overwritten and gone in the end. Nothing in the first second, and
/// nothing at all where standard error is no terminal. One at a time.
class Progress {
 public:
  /// `phase` reads on after "drydepth: ", e.g. "fitting 3 weighings". What a tally
  /// counts is shown in percent once its total is known; it outlives the phase.
  Progress(const World& world, std::string phase, const Tally* tally = nullptr);
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  ~Progress();

  void phase(std::string text, const Tally* tally = nullptr);

 private:
  void run();
  void show(const std::string& text);

  const World& world_;
  const std::chrono::steady_clock::time_point start_;
  std::mutex mutex_;
  std::condition_variable wake_;
  std::string phase_;
  const Tally* tally_;
  bool done_ = false;
  std::size_t shown_ = 0;  // columns that the line takes now
  std::thread ticker_;
};

/// A job's text, counted as it is read, against the size of its file; what is packed
/// has no total. A second reading begins anew.
ByteSource tallied(const OpenJob& job, const std::filesystem::path& file, Tally& tally);

}  // namespace drydepth
