#include "gcode/machine/plain_line.h"

#include <algorithm>
#include <bit>
#include <cstring>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

// Read digit by digit, a line is slow: where a number ends is known only once it was
// read, and nothing behind it can begin before. Two steps are faster. The first goes
// over some thousand bytes and marks all that end a number: blanks, points and line
// ends, few others. The second takes lines apart between the marks; where a word begins
// does not hang on the digits before it, so that a processor works on several words at
// once. (The division of labour is that of G. Langdale and D. Lemire, "Parsing
// gigabytes of JSON per second", VLDB Journal 28, 2019.)
//
// The digits of a number are joined sixteen at once: eight in front of the point, zeros
// before them, and eight behind it, zeros after them. That is an integer below 2^53,
// given seven in front at most, over 10^8; both are exact in a double, and the quotient
// is the double nearest to the decimal, as in line.cc.
//
// SSE2 is part of every x86-64. Elsewhere no line is taken for plain, and parse_line
// does all the work.

namespace drydepth {

#if defined(__SSE2__)

namespace {

constexpr std::size_t kMostWhole = 7;
constexpr std::size_t kMostDecimals = 8;
// Blank, letter, sign, digits, point, digits, and what else is read of the bytes
// behind.
constexpr std::size_t kLongestWord = 32;
constexpr std::size_t kLongestLine = 128;

/// Which of 64 bytes are marks, the first in the lowest bit. Bytes beyond ASCII are.
std::uint64_t find_marks(const char* p) {
  const auto sixteen = [p](int from) {
    const __m128i bytes = _mm_loadu_si128(reinterpret_cast<const __m128i*>(p + from));
    const __m128i low = _mm_cmplt_epi8(bytes, _mm_set1_epi8('0'));
    const __m128i minus = _mm_cmpeq_epi8(bytes, _mm_set1_epi8('-'));
    const int mask = _mm_movemask_epi8(_mm_andnot_si128(minus, low));
    return static_cast<std::uint64_t>(mask) << from;
  };
  return sixteen(0) | sixteen(16) | sixteen(32) | sixteen(48);
}

/// Two times eight bytes.
__m128i load_two(const void* low, const void* high) {
  const __m128i first = _mm_loadl_epi64(static_cast<const __m128i*>(low));
  return _mm_unpacklo_epi64(first, _mm_loadl_epi64(static_cast<const __m128i*>(high)));
}

/// All bits set in the last n of eight bytes, by n; and in the first n.
constexpr auto kLastBytes = [] {
  std::array<std::uint64_t, kMostWhole + 1> masks{};
  for (unsigned n = 1; n < masks.size(); ++n)
    masks[n] = ~std::uint64_t{0} << (64 - 8 * n);
  return masks;
}();
constexpr auto kFirstBytes = [] {
  std::array<std::uint64_t, kMostDecimals + 1> masks{};
  for (unsigned n = 1; n < masks.size(); ++n)
    masks[n] = ~std::uint64_t{0} >> (64 - 8 * n);
  return masks;
}();

/// The digits that end at `point` and those that begin behind it, as their values, each
/// in a byte.
__m128i digit_values(const char* point, std::size_t whole, std::size_t decimals) {
  const __m128i values =
      _mm_xor_si128(load_two(point - 8, point + 1), _mm_set1_epi8('0'));
  return _mm_and_si128(values, load_two(&kLastBytes[whole], &kFirstBytes[decimals]));
}

/// The eight values in front of the point times 10^8, and the eight behind it.
double join(__m128i values) {
  const __m128i tens =
      _mm_mullo_epi16(_mm_and_si128(values, _mm_set1_epi16(0xFF)), _mm_set1_epi16(10));
  const __m128i pairs = _mm_add_epi16(tens, _mm_srli_epi16(values, 8));
  const __m128i fours = _mm_madd_epi16(pairs, _mm_set1_epi32(1 << 16 | 100));
  const __m128i eights =
      _mm_madd_epi16(_mm_packs_epi32(fours, fours), _mm_set1_epi32(1 << 16 | 10000));
  const __m128d parts = _mm_cvtepi32_pd(eights);
  const __m128d whole = _mm_mul_sd(parts, _mm_set_sd(1e8));
  return _mm_cvtsd_f64(_mm_add_sd(whole, _mm_unpackhi_pd(parts, parts)));
}

}  // namespace

void PlainLineReader::look_ahead(std::string_view bytes) {
  window_ = bytes.substr(0, std::min(kWindow, bytes.size() / 64 * 64));
  mark_ = marks_.data();
  std::size_t count = 0;
  const auto note = [&](std::uint64_t mask, std::size_t from) {
    for (; mask != 0; mask &= mask - 1) {
      marks_[count++] = static_cast<std::uint16_t>(
          from + static_cast<std::size_t>(std::countr_zero(mask)));
    }
  };
  // A word that begins in the last bytes might end behind them. There a mark more stops
  // the line; no word ends or begins at it.
  const std::size_t last = window_.size() - kLongestWord;
  for (std::size_t at = 0; at + 64 < window_.size(); at += 64) {
    note(find_marks(&window_[at]), at);
  }
  constexpr std::uint64_t kUpToLast = (std::uint64_t{1} << (65 - kLongestWord)) - 1;
  note(find_marks(&window_[window_.size() - 64]) & kUpToLast, window_.size() - 64);
  marks_[count] = static_cast<std::uint16_t>(last);
}

std::size_t PlainLineReader::read(std::string_view bytes) {
  auto begin = static_cast<std::size_t>(bytes.data() - window_.data());
  if (window_.empty() || begin + kLongestLine > window_.size()) {
    // Eight bytes are read in front of each point.
    if (bytes.size() < kLongestLine || bytes.data() < buffer_.data() + 8) return 0;
    look_ahead(bytes);
    begin = 0;
  }
  while (*mark_ < begin) ++mark_;
  const char* const line = window_.data() + begin;
  if (line[0] != 'G' || line[1] < '0' || line[1] > '3' || *mark_ != begin + 2) return 0;
  std::size_t end = read_words();
  if (end == 0) return 0;
  if (window_[end] == '\r') ++end;
  if (window_[end] != '\n') return 0;
  command_.letter = 'G';
  command_.number = line[1] - '0';
  return end - begin;
}

/// The words from the next mark on. The place behind them; 0 where one is not plain.
std::size_t PlainLineReader::read_words() {
  const char* const text = window_.data();
  const std::uint16_t* mark = mark_;
  std::uint32_t words = 0;
  __m128i others = _mm_setzero_si128();
  while (text[*mark] == ' ') {
    const std::size_t blank = *mark++;
    const char letter = text[blank + 1];
    const std::size_t negative = text[blank + 2] == '-';
    const std::size_t point = *mark;
    const std::size_t whole = point - blank - 2 - negative;
    std::size_t decimals = 0;
    if (text[point] == '.') [[likely]]
      decimals = *++mark - point - 1;
    const bool plain = letter >= 'A' && letter <= 'Z' && whole <= kMostWhole &&
                       decimals <= kMostDecimals && whole + decimals != 0;
    if (!plain) return 0;
    const __m128i values = digit_values(text + point, whole, decimals);
    others = _mm_or_si128(others, _mm_subs_epu8(values, _mm_set1_epi8(9)));
    command_.values_[Command::index(letter)] =
        join(values) / (negative != 0 ? -1e8 : 1e8);
    words |= Command::bit(letter);
  }
  const __m128i none = _mm_cmpeq_epi8(others, _mm_setzero_si128());
  if (_mm_movemask_epi8(none) != 0xFFFF) return 0;
  command_.numbers_ = command_.mentioned_ = words;
  mark_ = mark;
  return *mark;
}

#else

std::size_t PlainLineReader::read(std::string_view) { return 0; }

#endif

}  // namespace drydepth
