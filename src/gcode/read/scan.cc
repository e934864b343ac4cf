#include "gcode/read/scan.h"

#include <utility>

#include "base/exit_code.h"
#include "gcode/edit/blocks.h"
#include "gcode/read/job_reader.h"

// A job is read once, front to back. What the reading depends on may stand at its very
// end (the firmware, whether E is a volume) or nowhere (whether E is relative): then a
// second pass under the right reading is the simple way, and cheap.

namespace drydepth {
namespace {

constexpr int kMostPasses = 3;
constexpr std::size_t kHeadBytes = 64 * 1024;

Result<std::string> read_head(const ByteSource& job) {
  std::string head;
  const auto read = job.read([&head](std::string_view piece) {
    head.append(piece.substr(0, kHeadBytes - head.size()));
    return head.size() < kHeadBytes;
  });
  if (!read) return read.error();
  return head;
}

Error unknown_dialect(const ScanOptions& options) {
  std::string known;
  for (const Dialect& dialect : options.dialects) {
    known += (known.empty() ? "" : ", ") + dialect.id;
  }
  return Error{"", "no firmware is called \"" + *options.dialect_id + "\"",
               "known: " + known, kExitUsage};
}

}  // namespace

struct TraceScanner::State {
  State(std::string job_name, const ScanOptions& options, Reading reading)
      : reader(job_name, options, std::move(reading)),
        stripper(
            std::move(job_name),
            [this](std::string_view piece) { return reader.feed(piece); },
            [this](const Block&) { reader.note_guarded(); }) {}

  JobReader reader;
  BlockStripper stripper;
};

TraceScanner::TraceScanner(std::string job_name, const ScanOptions& options,
                           Reading reading)
    : state_(
          std::make_unique<State>(std::move(job_name), options, std::move(reading))) {}

TraceScanner::TraceScanner(TraceScanner&&) noexcept = default;
TraceScanner::~TraceScanner() = default;

void TraceScanner::feed(std::string_view bytes) { state_->stripper.feed(bytes); }

Result<Trace> TraceScanner::finish() {
  const auto stripped = state_->stripper.finish();
  auto trace = state_->reader.finish();
  if (!stripped) return stripped.error();
  return trace;
}

Reading TraceScanner::better_reading() const { return state_->reader.better_reading(); }

Result<Trace> scan(const ByteSource& job, const ScanOptions& options) {
  if (options.dialect_id && !find_dialect(options.dialects, *options.dialect_id)) {
    return unknown_dialect(options);
  }
  const auto head = read_head(job);
  if (!head) return head.error();
  Reading reading = first_reading(*head, options);
  for (int pass = 1;; ++pass) {
    TraceScanner scanner(job.name, options, reading);
    const auto read = job.read([&scanner](std::string_view piece) {
      scanner.feed(piece);
      return true;
    });
    if (!read) return read.error();
    auto trace = scanner.finish();
    Reading better = scanner.better_reading();
    if (better == reading || pass == kMostPasses) return trace;
    reading = std::move(better);
  }
}

}  // namespace drydepth
