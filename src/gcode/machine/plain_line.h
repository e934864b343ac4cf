#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "gcode/machine/line.h"

namespace drydepth {

/// Takes apart the plain moves that make up most of a job: "G1 X10.5 Y-2 E.25", one
/// blank between words, each a capital letter and a decimal, then LF or CR LF. Words
/// come out as parse_line gives them, faster.
class PlainLineReader {
 public:
  /// Before the first line of each buffer.
  void begin_buffer(std::string_view bytes) {
    buffer_ = bytes;
    window_ = {};
  }
  /// The length without LF of the line that begins here, or 0 where it is anything else
  /// or stands too near the end of the bytes. The lines of a buffer in order; some may
  /// be left out.
  std::size_t read(std::string_view bytes);
  /// The line read last, if it was plain; no text and no comment.
  const Command& command() const { return command_; }

 private:
  static constexpr std::size_t kWindow = 4096;

  void look_ahead(std::string_view bytes);
  std::size_t read_words();

  Command command_;
  std::string_view buffer_;
  std::string_view window_;  // the part of the buffer that the marks tell of
  // Places of the bytes below '0' that are no minus, and one more behind them.
  std::array<std::uint16_t, kWindow + 1> marks_;
  const std::uint16_t* mark_ = nullptr;  // the first that was not looked at
};

}  // namespace drydepth
