#include "gcode/read/header.h"

namespace drydepth {
namespace {

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != text.npos;
}

bool is_comment(std::string_view text) { return text.starts_with(';'); }

bool begins_thumbnail(std::string_view text) {
  return is_comment(text) && contains(text, "thumbnail") && contains(text, "begin");
}

bool ends_thumbnail(std::string_view text) {
  return is_comment(text) && contains(text, "thumbnail") && contains(text, "end");
}

bool begins_header(std::string_view text) {
  return contains(text, "HEADER_BLOCK_START") || contains(text, "START_OF_HEADER");
}

bool ends_header(std::string_view text) {
  return contains(text, "HEADER_BLOCK_END") || contains(text, "END_OF_HEADER");
}

bool begins_settings(std::string_view text) {
  return contains(text, "CONFIG_BLOCK_START") || contains(text, "_config = begin") ||
         contains(text, "SETTING_") || contains(text, "THUMBNAIL_BLOCK_START");
}

}  // namespace

void HeaderFinder::go_behind(const LineView& line) {
  offset_ = line.next;
  line_ = line.number + 1;
}

void HeaderFinder::take(const LineView& line) {
  const std::string_view text = line.text;
  switch (state_) {
    case State::kDone:
      return;
    case State::kFirst:
      go_behind(line);
      state_ = begins_thumbnail(text) ? State::kThumbnail
               : begins_header(text)  ? State::kBlock
               : is_comment(text)     ? State::kRun
                                      : State::kDone;
      return;
    case State::kRun:
      if (!is_comment(text) || begins_thumbnail(text) || begins_settings(text)) {
        state_ = State::kDone;
        return;
      }
      if (begins_header(text)) state_ = State::kBlock;
      go_behind(line);
      if (ends_header(text)) state_ = State::kDone;
      return;
    case State::kBlock:
      // A command inside means that the block's end was lost.
      if (!text.empty() && !is_comment(text)) {
        state_ = State::kDone;
        return;
      }
      if (is_comment(text)) go_behind(line);
      if (ends_header(text)) state_ = State::kDone;
      return;
    case State::kThumbnail:
      go_behind(line);
      if (ends_thumbnail(text) || !is_comment(text)) state_ = State::kDone;
      return;
  }
}

}  // namespace drydepth
