#pragma once

#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>

namespace drydepth {

/// A line of a byte stream.
struct LineView {
  std::string_view text;     ///< without line end; of a longer line only the first part
  std::uint64_t offset = 0;  ///< of its first byte
  std::uint64_t next = 0;    ///< offset of the byte behind it and its line end
  std::uint64_t number = 0;  ///< 1-based
  bool ended = true;         ///< false for a last line without a line end
};

/// Cuts a byte stream fed in any pieces into lines that end with LF or CR LF. Lines are
/// views into the piece where they lie in one, so that nothing is copied; only
/// kLongestLine bytes of a line are kept.
class LineSplitter {
 public:
  static constexpr std::size_t kLongestLine = std::size_t{1} << 20;

  template <class OnLine>
  void feed(std::string_view bytes, const OnLine& on_line) {
    feed(
        bytes, [](std::string_view) { return std::size_t{0}; }, on_line);
  }

  /// The same for a reader that knows the lengths of some lines before their end is
  /// looked for: measure(rest) is asked once for each line that begins in these bytes,
  /// and gives its length without LF, which stands behind it, or 0 for not known.
  template <class Measure, class OnLine>
  void feed(std::string_view bytes, const Measure& measure, const OnLine& on_line) {
    while (!bytes.empty()) {
      if (length_ == 0) {
        length_ = measure(bytes);
        if (length_ != 0) {
          const std::size_t length = length_;
          emit(bytes.substr(0, length), true, on_line);
          bytes.remove_prefix(length + 1);
          continue;
        }
      }
      const void* const found = std::memchr(bytes.data(), '\n', bytes.size());
      if (found == nullptr) {
        keep(bytes);
        return;
      }
      const auto length =
          static_cast<std::size_t>(static_cast<const char*>(found) - bytes.data());
      if (length_ == 0 && length <= kLongestLine) {
        length_ = length;
        emit(bytes.substr(0, length), true, on_line);
      } else {
        keep(bytes.substr(0, length));
        emit(kept_, true, on_line);
      }
      bytes.remove_prefix(length + 1);
    }
  }

  /// Hands out a last line that has no line end.
  template <class OnLine>
  void finish(const OnLine& on_line) {
    if (length_ != 0) emit(kept_, false, on_line);
  }

  /// Bytes and lines handed out so far.
  std::uint64_t bytes() const { return offset_; }
  std::uint64_t lines() const { return number_; }

 private:
  void keep(std::string_view part) {
    length_ += part.size();
    kept_.append(part.substr(0, kLongestLine - kept_.size()));
  }

  template <class OnLine>
  void emit(std::string_view text, bool ended, const OnLine& on_line) {
    const std::uint64_t next = offset_ + length_ + (ended ? 1 : 0);
    if (ended && !text.empty() && text.back() == '\r') text.remove_suffix(1);
    on_line(LineView{text, offset_, next, ++number_, ended});
    offset_ = next;
    length_ = 0;
    kept_.clear();
  }

  std::string kept_;          // the start of a line that spans pieces
  std::uint64_t length_ = 0;  // of the line so far, kept or not
  std::uint64_t offset_ = 0;
  std::uint64_t number_ = 0;
};

}  // namespace drydepth
