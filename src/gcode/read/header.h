#pragma once

#include <cstdint>
#include <string_view>

#include "gcode/machine/splitter.h"

namespace drydepth {

/// Finds the place of the header block: behind the first run of plain comment lines, so
/// that line 1, which slicers recognise their files by, stays line 1, and before any
/// thumbnail, settings block or blank line. A header that states its own end is passed
/// whole; a thumbnail on line 1 too.
class HeaderFinder {
 public:
  bool done() const { return state_ == State::kDone; }
  /// Takes the job's lines in order until done.
  void take(const LineView& line);

  std::uint64_t offset() const { return offset_; }
  std::uint64_t line() const { return line_; }

 private:
  enum class State { kFirst, kRun, kBlock, kThumbnail, kDone };
  void go_behind(const LineView& line);

  State state_ = State::kFirst;
  std::uint64_t offset_ = 0;
  std::uint64_t line_ = 0;
};

}  // namespace drydepth
