#include "gcode/container/meatpack.h"

#include <cstddef>
#include <utility>

namespace drydepth {
namespace {

constexpr std::string_view kCommon = "0123456789. \nGX";
constexpr std::size_t kBlank = 11;  // stands for E where blanks are left out
constexpr unsigned char kSignal = 0xff;
constexpr unsigned kWhole = 15;

class Unpacker {
 public:
  void take(unsigned char byte) {
    if (byte == kSignal && whole_ == 0 && ++signals_ == 2) {
      signals_ = 0;
      commanded_ = true;
      return;
    }
    if (byte == kSignal && whole_ == 0) return;
    if (commanded_) {
      commanded_ = false;
      return command(byte);
    }
    // One signal alone is a byte of two halves that both stand for whole ones.
    if (signals_ == 1) {
      signals_ = 0;
      take_packed(kSignal);
    }
    if (packing_) return take_packed(byte);
    text_.push_back(static_cast<char>(byte));
  }
  std::string text() && { return std::move(text_); }

 private:
  void command(unsigned char byte) {
    switch (byte) {
      case 251:
        packing_ = true;
        return;
      case 250:
        packing_ = false;
        return;
      case 249:
        packing_ = spaceless_ = false;
        return;
      case 247:
        spaceless_ = true;
        return;
      case 246:
        spaceless_ = false;
        return;
      default:
        return;
    }
  }

  void take_packed(unsigned char byte) {
    if (whole_ > 0) {
      text_.push_back(static_cast<char>(byte));
      --whole_;
      if (has_second_) text_.push_back(second_);
      has_second_ = false;
      return;
    }
    const unsigned low = byte & 15u;
    const unsigned high = byte >> 4;
    if (low != kWhole) text_.push_back(common(low));
    // Behind a line end in the first half the second one is a filler.
    if (low != kWhole && text_.back() == '\n') return;
    whole_ = (low == kWhole ? 1 : 0) + (high == kWhole ? 1 : 0);
    if (high == kWhole) return;
    has_second_ = low == kWhole;
    second_ = common(high);
    if (!has_second_) text_.push_back(second_);
  }

  char common(unsigned half) const {
    return spaceless_ && half == kBlank ? 'E' : kCommon[half];
  }

  std::string text_;
  bool packing_ = false;
  bool spaceless_ = false;
  bool commanded_ = false;
  int signals_ = 0;
  int whole_ = 0;  // bytes that are to be taken as they are
  bool has_second_ = false;
  char second_ = 0;  // the packed character behind such a byte
};

}  // namespace

std::string unpack_meatpack(std::string_view packed) {
  Unpacker unpacker;
  for (const char c : packed) unpacker.take(static_cast<unsigned char>(c));
  return std::move(unpacker).text();
}

}  // namespace drydepth
