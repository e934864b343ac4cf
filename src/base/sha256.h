#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace drydepth {

/// The SHA-256 digest (FIPS 180-4) of bytes that come in pieces: what anybody's
/// sha256sum says of the same bytes.
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

}  // namespace drydepth
