#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <mutex>
#include <string>
#include <thread>

#include "cli/world.h"

namespace drydepth {

/// Says on standard error what a long command is at and for how long, on one line that
/// is overwritten and gone in the end. Nothing in the first second, and nothing at all
/// where standard error is no terminal. One at a time.
class Progress {
 public:
  /// `phase` reads on after "drydepth: ", e.g. "fitting 3 weighings".
  Progress(const World& world, std::string phase);
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  ~Progress();

  void phase(std::string text);

 private:
  void run();
  void show(const std::string& text);

  const World& world_;
  const std::chrono::steady_clock::time_point start_;
  std::mutex mutex_;
  std::condition_variable wake_;
  std::string phase_;
  bool done_ = false;
  std::size_t shown_ = 0;  // columns that the line takes now
  std::thread ticker_;
};

}  // namespace drydepth
