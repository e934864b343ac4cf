#include "cli/progress_line.h"

#include <algorithm>

#include "base/shown.h"

namespace drydepth {
namespace {

using namespace std::chrono_literals;

// ", 37 %", or nothing where the total is not known. Never 100: then it would be done.
std::string share_text(const Tally* tally) {
  const std::uint64_t total = tally != nullptr ? tally->total.load() : 0;
  if (total == 0) return {};
  return ", " + std::to_string(std::min<std::uint64_t>(tally->done * 100 / total, 99)) +
         " %";
}

}  // namespace

ProgressLine::ProgressLine(const World& world) : world_(world) {}

ProgressLine::~ProgressLine() {
  if (!ticker_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    done_ = true;
  }
  wake_.notify_one();
  ticker_.join();
  if (shown_ > 0) show("");
}

void ProgressLine::phase(std::string text, std::shared_ptr<const Tally> tally) {
  if (!world_.live_talk) return;
  const std::lock_guard lock(mutex_);
  phase_ = shown(text);
  tally_ = std::move(tally);
  if (ticker_.joinable()) return;
  start_ = std::chrono::steady_clock::now();
  ticker_ = std::thread([this] { run(); });
}

void ProgressLine::run() {
  std::unique_lock lock(mutex_);
  auto next = start_ + 1s;
  while (!wake_.wait_until(lock, next, [this] { return done_; })) {
    const auto passed = std::chrono::floor<std::chrono::seconds>(next - start_).count();
    show("drydepth: " + phase_ + share_text(tally_.get()) + ", " +
         std::to_string(passed) + " s");
    next += 1s;
  }
}

// The rest of a longer line before it is blanked; an empty text leaves nothing.
void ProgressLine::show(const std::string& text) {
  const std::string rest(shown_ > text.size() ? shown_ - text.size() : 0, ' ');
  world_.talk << "\r" << text << rest << (text.empty() ? "\r" : "") << std::flush;
  shown_ = text.size();
}

}  // namespace drydepth
