#include "gcode/edit/rewrite.h"

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>

#include "gcode/edit/blocks.h"

// The one promise: every byte that is not ours passes through as it is.

namespace drydepth {
Error misplaced(const std::string& job_name, const Edit& edit) {
  return Error{job_name + ":" + std::to_string(edit.line),
               "no block can be put in here: byte " + std::to_string(edit.offset) +
                   " is not the start of a line below the first",
               "slice the job again, since it may have changed while it was read"};
}

namespace {

/// Passes a job on and puts each edit in at its offset.
class Inserter {
 public:
  Inserter(std::string job_name, const std::vector<Edit>& edits, const ByteSink& out)
      : job_name_(std::move(job_name)), edits_(edits), out_(out) {}

  bool feed(std::string_view bytes) {
    while (going_ && has_edit_within(bytes.size())) {
      // An edit that lies behind is out of order; insert() says so.
      const std::uint64_t at = std::max(edits_[next_].offset, offset_);
      const auto before = static_cast<std::size_t>(at - offset_);
      pass(bytes.substr(0, before));
      bytes.remove_prefix(before);
      insert(edits_[next_++]);
    }
    if (going_) pass(bytes);
    return going_;
  }

  Result<Done> finish() {
    while (going_ && has_edit_within(1)) insert(edits_[next_++]);
    if (going_ && next_ < edits_.size()) return misplaced(job_name_, edits_[next_]);
    if (error_) return *error_;
    return Done{};
  }

 private:
  /// True when the next edit lies less than `size` bytes ahead, or behind (an error).
  bool has_edit_within(std::size_t size) const {
    return next_ < edits_.size() && edits_[next_].offset < offset_ + size;
  }

  void pass(std::string_view bytes) {
    if (bytes.empty()) return;
    if (bytes.size() >= 2) last_two_.clear();
    last_two_.append(bytes.substr(bytes.size() < 2 ? 0 : bytes.size() - 2));
    if (last_two_.size() > 2) last_two_.erase(0, 1);
    offset_ += bytes.size();
    going_ = out_(bytes);
  }

  void insert(const Edit& edit) {
    if (edit.offset != offset_ || !last_two_.ends_with('\n')) {
      error_ = misplaced(job_name_, edit);
      going_ = false;
      return;
    }
    going_ = out_(block_text(edit, last_two_ == "\r\n" ? "\r\n" : "\n"));
  }

  std::string job_name_;
  const std::vector<Edit>& edits_;
  const ByteSink& out_;
  std::size_t next_ = 0;
  std::uint64_t offset_ = 0;
  std::string last_two_;  // bytes passed on
  bool going_ = true;
  std::optional<Error> error_;
};

}  // namespace

Result<Done> rewrite(const ByteSource& job, const std::vector<Edit>& edits,
                     const ByteSink& out) {
  Inserter inserter(job.name, edits, out);
  BlockStripper stripper(
      job.name, [&inserter](std::string_view piece) { return inserter.feed(piece); });
  const auto read =
      job.read([&stripper](std::string_view piece) { return stripper.feed(piece); });
  if (!read) return read;
  if (auto stripped = stripper.finish(); !stripped) return stripped;
  return inserter.finish();
}

Result<Done> restore(const ByteSource& job, const ByteSink& out) {
  return rewrite(job, {}, out);
}

}  // namespace drydepth
