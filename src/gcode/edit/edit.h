#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// A line that must change stays in the job, behind a mark that makes it a comment; the
/// line in its place follows. Two edits do that: the mark at the line's start, with
/// {line, line in its place}, and {line in its place} at the start of the next line.
inline constexpr std::string_view kWasAction = "was", kNowAction = "now";

/// Lines to be put into a job as one block between two marker lines of our own.
struct Edit {
  std::uint64_t offset = 0;  ///< byte offset in the job without our own blocks
  std::uint64_t line = 0;    ///< 1-based line that starts there
  std::string action{};      ///< note, message, pause, adjust; kWasAction, kNowAction
  std::vector<std::string> lines{};  ///< ASCII, no line end, each shorter than 80 bytes
};

/// The order of edits in a job. At one place the end of a changed line comes first,
/// then blocks, then the mark of the next line.
inline bool comes_before(const Edit& a, const Edit& b) {
  const auto rank = [](const Edit& e) {
    return e.action == kNowAction ? 0 : e.action == kWasAction ? 2 : 1;
  };
  return a.offset != b.offset ? a.offset < b.offset : rank(a) < rank(b);
}

}  // namespace drydepth
