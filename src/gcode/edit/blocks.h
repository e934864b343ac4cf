#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/files.h"
#include "base/result.h"
#include "gcode/edit/edit.h"

namespace drydepth {

/// One of our own blocks as found in a guarded job, or a changed line (kWasAction) with
/// the line that it was and the one in its place.
struct Block {
  std::uint64_t line = 0;  ///< 1-based line of its begin marker, in the guarded job
  std::string action;
  std::vector<std::string> lines;
};

/// Lines of a guarded job that it would not have without the block.
std::uint64_t added_lines(const Block& block);

/// True for a line that can be kept behind a mark: ASCII, and short enough with it.
bool fits_mark(std::string_view line);

/// An Edit as it stands in the job: marker, lines, marker, each ended by eol; or the
/// mark of a changed line, without eol. Content is an ASCII line shorter than 80 bytes,
/// and no marker (asserted).
std::string block_text(const Edit& edit, std::string_view eol);

/// Takes our own blocks out of a byte stream and passes every other byte on unchanged.
/// A block whose content no longer fits its check value, a begin without end, or an end
/// without begin stops the stream: what a block stood for is then unknown.
class BlockStripper {
 public:
  using OnBlock = std::function<void(const Block&)>;
  BlockStripper(std::string job_name, ByteSink out, OnBlock on_block = {});

  /// False once the sink wants no more or a block is broken.
  bool feed(std::string_view bytes);
  /// After the last piece. Error (exit 65) names the line of the broken block.
  Result<Done> finish();

 private:
  bool pass(std::string_view bytes);
  std::size_t gather(std::string_view bytes);
  std::size_t clear_run(std::string_view bytes) const;
  bool take_line(std::string_view line);
  bool open_block(std::string_view line);
  bool open_was(std::string_view line);
  bool close_was(std::string_view text);
  bool close_block();
  bool fail(std::string what);

  std::string job_name_;
  ByteSink out_;
  OnBlock on_block_;
  std::string held_;  // start of a line that may still become one of ours
  bool at_line_start_ = true;
  bool stopped_ = false;
  std::uint64_t line_ = 1;  // of the next byte, in the guarded job
  std::optional<Block> open_;
  std::size_t open_lines_ = 0;
  std::uint32_t open_check_ = 0;
  std::string was_eol_;  // of the changed line at hand
  std::optional<Error> error_;
};

/// The blocks that stand in a job. Error as BlockStripper::finish.
Result<std::vector<Block>> read_blocks(const ByteSource& job);

}  // namespace drydepth
