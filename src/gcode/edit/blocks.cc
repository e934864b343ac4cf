#include "gcode/edit/blocks.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <charconv>
#include <utility>

#include "base/digests.h"

namespace drydepth {
namespace {

// The begin marker states the number of lines that follow and the CRC-32 of the action
// and those lines, each ended by LF. Line ends stay out of the check value, so that a
// program which turns LF into CR LF throughout does not break the way back.
constexpr std::string_view kOurs = ";drydepth:";
constexpr std::string_view kBegin = ";drydepth:begin ";
constexpr std::string_view kEnd = ";drydepth:end";
// Then the check value of the line and the one in its place, and the line itself.
constexpr std::string_view kWas = ";drydepth:was ";
constexpr std::size_t kWasMark = kWas.size() + 9;
constexpr std::size_t kMostLines = 10000;
constexpr std::size_t kLongestMarker = 200;

std::uint32_t check_value(std::string_view action,
                          const std::vector<std::string>& lines) {
  std::string all(action);
  for (const std::string& line : lines) all.append("\n").append(line);
  return crc32_of(all);
}

std::string hex8(std::uint32_t value) {
  std::array<char, 8> digits{};
  const auto end = std::to_chars(digits.begin(), digits.end(), value, 16).ptr;
  const auto length = static_cast<std::size_t>(end - digits.begin());
  return std::string(8 - length, '0') + std::string(digits.begin(), end);
}

struct Marker {
  std::string action;
  std::size_t lines = 0;
  std::uint32_t check = 0;
};

/// The text up to the separator, which is taken away too.
std::string_view take_until(std::string_view& rest, std::string_view separator) {
  const auto at = rest.find(separator);
  const std::string_view taken = rest.substr(0, at);
  rest.remove_prefix(at == rest.npos ? rest.size() : at + separator.size());
  return taken;
}

template <class Number>
bool read_number(std::string_view text, int base, Number& out) {
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, out, base);
  return read.ec == std::errc() && read.ptr == end;
}

std::optional<Marker> read_marker(std::string_view line) {
  line.remove_prefix(kBegin.size());
  Marker marker;
  marker.action = std::string(take_until(line, " lines="));
  const bool counted = read_number(take_until(line, " check="), 10, marker.lines);
  if (!counted || line.size() != 8 || !read_number(line, 16, marker.check)) {
    return std::nullopt;
  }
  return marker.lines <= kMostLines ? std::optional(marker) : std::nullopt;
}

std::string_view without_line_end(std::string_view line) {
  if (!line.empty() && line.back() == '\n') line.remove_suffix(1);
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  return line;
}

[[maybe_unused]]  /// Line ends in the bytes. In runs short enough for a one-byte sum,
                  /// which compilers turn
                  /// into wide instructions; std::count is three times slower.
std::uint64_t
count_lines(std::string_view bytes) {
  constexpr std::size_t kRun = 128;
  std::uint64_t lines = 0;
  while (!bytes.empty()) {
    std::uint8_t in_run = 0;
    for (const char c : bytes.substr(0, kRun)) {
      in_run = static_cast<std::uint8_t>(in_run + (c == '\n'));
    }
    lines += in_run;
    bytes.remove_prefix(std::min(kRun, bytes.size()));
  }
  return lines;
}

bool is_block_line(const std::string& line) {
  return line.size() < 80 && std::all_of(line.begin(), line.end(),
                                         [](char c) { return c >= ' ' && c <= '~'; });
}

}  // namespace

std::uint64_t added_lines(const Block& block) {
  return block.action == kWasAction ? 1 : block.lines.size() + 2;
}

bool fits_mark(std::string_view line) {
  return line.size() + kWasMark < 80 && is_block_line(std::string(line));
}

std::string block_text(const Edit& edit, std::string_view eol) {
  assert(edit.lines.size() <= kMostLines);
  if (edit.action == kWasAction) {
    assert(edit.lines.size() == 2 && fits_mark(edit.lines[0]));
    return std::string(kWas) + hex8(check_value(kWasAction, edit.lines)) + " ";
  }
  if (edit.action == kNowAction) {
    assert(edit.lines.size() == 1 && !edit.lines[0].starts_with(kOurs));
    return edit.lines[0] + std::string(eol);
  }
  std::string out(kBegin);
  out.append(edit.action).append(" lines=").append(std::to_string(edit.lines.size()));
  out.append(" check=").append(hex8(check_value(edit.action, edit.lines))).append(eol);
  for (const std::string& line : edit.lines) {
    assert(is_block_line(line) && !line.starts_with(kBegin) && line != kEnd);
    out.append(line).append(eol);
  }
  out.append(kEnd).append(eol);
  return out;
}

BlockStripper::BlockStripper(std::string job_name, ByteSink out, OnBlock on_block)
    : job_name_(std::move(job_name)),
      out_(std::move(out)),
      on_block_(std::move(on_block)) {}

bool BlockStripper::fail(std::string what) {
  const std::uint64_t line = open_ ? open_->line : line_;
  error_ = Error{job_name_ + ":" + std::to_string(line), std::move(what),
                 "take the whole block out by hand, or slice the job again", 65};
  stopped_ = true;
  return false;
}

bool BlockStripper::pass(std::string_view bytes) {
  if (bytes.empty()) return true;
  line_ += count_lines(bytes);
  at_line_start_ = bytes.back() == '\n';
  if (!out_(bytes)) stopped_ = true;
  return !stopped_;
}

bool BlockStripper::open_block(std::string_view line) {
  const auto marker = read_marker(without_line_end(line));
  if (!marker) return fail("this drydepth block has a changed first line");
  open_ = Block{line_, marker->action, {}};
  open_lines_ = marker->lines;
  open_check_ = marker->check;
  return true;
}

bool BlockStripper::close_block() {
  if (open_->lines.size() != open_lines_ ||
      check_value(open_->action, open_->lines) != open_check_) {
    return fail("this drydepth block was changed by hand or by another program");
  }
  if (on_block_) on_block_(*open_);
  open_.reset();
  return true;
}

bool BlockStripper::open_was(std::string_view line) {
  const std::string_view text = without_line_end(line);
  const std::string_view check = text.substr(kWas.size(), 8);
  if (text.size() < kWasMark || text[kWasMark - 1] != ' ' || check.size() != 8 ||
      !read_number(check, 16, open_check_)) {
    return fail("this mark of a line that drydepth changed was changed itself");
  }
  was_eol_ = line.substr(text.size());
  open_ = Block{line_, std::string(kWasAction), {std::string(text.substr(kWasMark))}};
  return true;
}

bool BlockStripper::close_was(std::string_view text) {
  open_->lines.emplace_back(text);
  if (check_value(kWasAction, open_->lines) != open_check_) {
    return fail("a line that drydepth had changed was changed again");
  }
  if (on_block_) on_block_(*open_);
  if (!out_(open_->lines[0] + was_eol_)) stopped_ = true;
  open_.reset();
  return !stopped_;
}

/// A whole line that begins like one of ours or stands inside a block.
bool BlockStripper::take_line(std::string_view line) {
  const std::string_view text = without_line_end(line);
  const bool in_was = open_ && open_->action == kWasAction;
  if (in_was || (!open_ && text.starts_with(kWas))) {
    const bool taken = in_was ? close_was(text) : open_was(line);
    ++line_;
    at_line_start_ = true;
    return taken;
  }
  const bool begins = text.starts_with(kBegin);
  const bool ends = text == kEnd;
  if (!open_ && !begins && !ends) return pass(line);
  bool good = true;
  if (open_ && begins) {
    good = fail("this drydepth block has no end before the next one begins");
  } else if (open_ && ends) {
    good = close_block();
  } else if (open_ && open_->lines.size() >= open_lines_) {
    good = fail("this drydepth block holds more lines than were put in, or no end");
  } else if (open_) {
    open_->lines.emplace_back(text);
  } else if (begins) {
    good = open_block(line);
  } else {
    good = fail("a drydepth block ends here that never began");
  }
  ++line_;
  at_line_start_ = true;
  return good;
}

/// Gathers the rest of a line, or as much of it as tells that it is none of ours.
/// Returns how many bytes it took.
std::size_t BlockStripper::gather(std::string_view bytes) {
  const std::size_t taken = std::min(bytes.find('\n'), bytes.size() - 1) + 1;
  held_.append(bytes.substr(0, taken));
  const std::string_view start(held_.data(), std::min(held_.size(), kOurs.size()));
  const bool ours = open_ || kOurs.starts_with(start);
  const bool too_long = held_.size() > kLongestMarker;
  if (open_ && too_long) {
    fail("this drydepth block was changed by hand or by another program");
  } else if (!ours || too_long) {
    pass(std::exchange(held_, {}));
  } else if (held_.back() == '\n') {
    take_line(std::exchange(held_, {}));
  }
  return taken;
}

/// How many bytes can be passed on unseen: up to the next place where a line begins as
/// ours do, be it only with the first characters at the end of the piece. Semicolons
/// are rare among the moves of a large job, and memchr is faster than any other search.
std::size_t BlockStripper::clear_run(std::string_view bytes) const {
  for (std::size_t at = 1; (at = bytes.find(kOurs.front(), at)) != bytes.npos; ++at) {
    if (bytes[at - 1] == '\n' && kOurs.starts_with(bytes.substr(at, kOurs.size()))) {
      return at;
    }
  }
  return bytes.size();
}

// Two states. Outside a block, bytes pass in long runs; where a line begins like one of
// ours, and inside a block, lines are gathered whole.
bool BlockStripper::feed(std::string_view bytes) {
  while (!bytes.empty() && !stopped_) {
    std::size_t taken = 0;
    if (open_ || !held_.empty() || at_line_start_) {
      taken = gather(bytes);
    } else {
      taken = clear_run(bytes);
      pass(bytes.substr(0, taken));
    }
    bytes.remove_prefix(taken);
  }
  return !stopped_;
}

Result<Done> BlockStripper::finish() {
  if (!stopped_ && !held_.empty()) {
    take_line(std::exchange(held_, {}));
  }
  if (!error_ && !stopped_ && open_) fail("this drydepth block has no end");
  if (error_) return *error_;
  return Done{};
}

Result<std::vector<Block>> read_blocks(const ByteSource& job) {
  std::vector<Block> blocks;
  BlockStripper stripper(
      job.name, [](std::string_view) { return true; },
      [&blocks](const Block& block) { blocks.push_back(block); });
  const auto read =
      job.read([&stripper](std::string_view piece) { return stripper.feed(piece); });
  if (!read) return read.error();
  if (auto whole = stripper.finish(); !whole) return whole.error();
  return blocks;
}

}  // namespace drydepth
