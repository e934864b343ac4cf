#pragma once

// Digests as the libraries of everybody give them.

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace drydepth {

/// The SHA-256 digest (FIPS 180-4) of bytes that come in pieces: what anybody's
/// sha256sum says of the same bytes. Throws where this system's cryptography does not
/// give one: a stamp without it would prove nothing.
class Sha256 {
 public:
  Sha256();
  Sha256(Sha256&&) noexcept;
  ~Sha256();

  void add(std::string_view bytes);
  /// Lower-case hexadecimals. Once, last.
  std::string hex();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

std::string sha256_hex(std::string_view bytes);

/// The MD5 digest (RFC 1321) in lower-case hexadecimals: a check against accidents that
/// packages of jobs carry, and nothing to trust.
std::string md5_hex(std::string_view bytes);

/// CRC-32 as in ISO 3309 and zip files; `before`: of what came ahead.
std::uint32_t crc32_of(std::string_view bytes, std::uint32_t before = 0);

}  // namespace drydepth
