#include "cli/progress.h"

#include <algorithm>

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

Progress::Progress(const World& world, std::string phase, const Tally* tally)
    : world_(world),
      start_(std::chrono::steady_clock::now()),
      phase_(std::move(phase)),
      tally_(tally) {
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

void Progress::phase(std::string text, const Tally* tally) {
  const std::lock_guard lock(mutex_);
  phase_ = std::move(text);
  tally_ = tally;
}

void Progress::run() {
  std::unique_lock lock(mutex_);
  auto next = start_ + 1s;
  while (!wake_.wait_until(lock, next, [this] { return done_; })) {
    const auto passed = std::chrono::floor<std::chrono::seconds>(next - start_).count();
    show("drydepth: " + phase_ + share_text(tally_) + ", " + std::to_string(passed) +
         " s");
    next += 1s;
  }
}

ByteSource tallied(const OpenJob& job, const std::filesystem::path& file,
                   Tally& tally) {
  std::error_code failed;
  const auto size = std::filesystem::file_size(file, failed);
  if (!failed && job.container == Container::kText) tally.total = size;
  return {job.text.name, [read = job.text.read, &tally](const ByteSink& sink) {
            tally.done = 0;
            return read([&](std::string_view piece) {
              count(&tally, piece.size());
              return sink(piece);
            });
          }};
}

// The rest of a longer line before it is blanked; an empty text leaves nothing.
void Progress::show(const std::string& text) {
  const std::string rest(shown_ > text.size() ? shown_ - text.size() : 0, ' ');
  world_.talk << "\r" << text << rest << (text.empty() ? "\r" : "") << std::flush;
  shown_ = text.size();
}

}  // namespace drydepth
