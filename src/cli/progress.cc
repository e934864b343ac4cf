#include "cli/progress.h"

#include <algorithm>

namespace drydepth {
namespace {

using namespace std::chrono_literals;

}  // namespace

Progress::Progress(const World& world, std::string phase)
    : world_(world),
      start_(std::chrono::steady_clock::now()),
      phase_(std::move(phase)) {
  if (world_.live_talk) ticker_ = std::thread([this] { run(); });
}

Progress::~Progress() {
  if (!ticker_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    done_ = true;
  }
  wake_.notify_one();
  ticker_.join();
  if (shown_ > 0) show("");
}

void Progress::phase(std::string text) {
  const std::lock_guard lock(mutex_);
  phase_ = std::move(text);
}

void Progress::run() {
  std::unique_lock lock(mutex_);
  auto next = start_ + 1s;
  while (!wake_.wait_until(lock, next, [this] { return done_; })) {
    const auto passed = std::chrono::floor<std::chrono::seconds>(next - start_).count();
    show("drydepth: " + phase_ + ", " + std::to_string(passed) + " s");
    next += 1s;
  }
}

// The rest of a longer line before it is blanked; an empty text leaves nothing.
void Progress::show(const std::string& text) {
  const std::string rest(shown_ > text.size() ? shown_ - text.size() : 0, ' ');
  world_.talk << "\r" << text << rest << (text.empty() ? "\r" : "") << std::flush;
  shown_ = text.size();
}

}  // namespace drydepth
