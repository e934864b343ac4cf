#include "gcode/container/md5.h"

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

namespace drydepth {
namespace {

using Words = std::array<std::uint32_t, 4>;

constexpr std::size_t kBlock = 64;
constexpr std::array<std::array<int, 4>, 4> kShifts = {
    {{7, 12, 17, 22}, {5, 9, 14, 20}, {4, 11, 16, 23}, {6, 10, 15, 21}}};

/// RFC 1321, 3.4: the whole part of 2^32 |sin(i + 1)|.
std::array<std::uint32_t, 64> sines() {
  std::array<std::uint32_t, 64> table;
  for (std::size_t i = 0; i < table.size(); ++i) {
    table[i] = static_cast<std::uint32_t>(
        std::floor(4294967296.0 * std::abs(std::sin(static_cast<double>(i + 1)))));
  }
  return table;
}

std::uint32_t mix(unsigned round, std::uint32_t b, std::uint32_t c, std::uint32_t d) {
  switch (round) {
    case 0:
      return (b & c) | (~b & d);
    case 1:
      return (d & b) | (~d & c);
    case 2:
      return b ^ c ^ d;
    default:
      return c ^ (b | ~d);
  }
}

std::uint32_t word_of(unsigned round, std::uint32_t i) {
  constexpr std::array<std::uint32_t, 4> kStep = {1, 5, 3, 7};
  constexpr std::array<std::uint32_t, 4> kStart = {0, 1, 5, 0};
  return (kStep[round] * i + kStart[round]) % 16;
}

void take_block(const char* block, const std::array<std::uint32_t, 64>& table,
                Words& state) {
  std::array<std::uint32_t, 16> text;
  for (std::size_t i = 0; i < kBlock; ++i) {
    const auto byte = static_cast<std::uint32_t>(static_cast<unsigned char>(block[i]));
    text[i / 4] = (i % 4 == 0 ? 0 : text[i / 4]) | byte << (8 * (i % 4));
  }
  auto [a, b, c, d] = state;
  for (std::uint32_t i = 0; i < 64; ++i) {
    const unsigned round = i / 16;
    const std::uint32_t sum =
        a + mix(round, b, c, d) + table[i] + text[word_of(round, i)];
    a = d;
    d = c;
    c = b;
    b += std::rotl(sum, kShifts[round][i % 4]);
  }
  state = {state[0] + a, state[1] + b, state[2] + c, state[3] + d};
}

}  // namespace

std::string md5_hex(std::string_view bytes) {
  const auto table = sines();
  Words state = {0x67452301, 0xefcdab89, 0x98badcfe, 0x10325476};
  const std::size_t whole = bytes.size() / kBlock * kBlock;
  for (std::size_t at = 0; at < whole; at += kBlock) {
    take_block(bytes.data() + at, table, state);
  }
  std::string tail(bytes.substr(whole));
  tail.push_back('\x80');
  while (tail.size() % kBlock != kBlock - 8) tail.push_back('\0');
  const std::uint64_t bits = static_cast<std::uint64_t>(bytes.size()) * 8;
  for (int k = 0; k < 8; ++k) tail.push_back(static_cast<char>(bits >> (8 * k) & 0xff));
  for (std::size_t at = 0; at < tail.size(); at += kBlock) {
    take_block(tail.data() + at, table, state);
  }
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string hex;
  for (const std::uint32_t word : state) {
    for (unsigned k = 0; k < 4; ++k) {
      const unsigned byte = word >> (8 * k) & 0xff;
      hex += {kDigits[byte >> 4], kDigits[byte & 15]};
    }
  }
  return hex;
}

}  // namespace drydepth
