#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "base/tally.h"
#include "cli/world.h"

namespace drydepth {

/// Says on standard error what a long command is at, how far and for how long, on one
/// line that is overwritten and gone in the end. Nothing in the first second, and
/// nothing at all where standard error is no terminal. One at a time.
class ProgressLine {
 public:
  explicit ProgressLine(const World& world);
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  ~ProgressLine();

  /// `text` reads on after "drydepth: ", e.g. "fitting the weighings". What a tally
  /// counts is shown in percent once its total is known. The clock starts with the
  /// first phase.
  void phase(std::string text, std::shared_ptr<const Tally> tally);

 private:
  void run();
  void show(const std::string& text);

  const World& world_;
  std::chrono::steady_clock::time_point start_{};
  std::mutex mutex_;
  std::condition_variable wake_;
  std::string phase_;
  std::shared_ptr<const Tally> tally_;
  bool done_ = false;
  std::size_t shown_ = 0;  // columns that the line takes now
  std::thread ticker_;
};

}  // namespace drydepth
