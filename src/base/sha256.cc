#include "base/sha256.h"

#include <openssl/evp.h>

#include <array>
#include <cassert>

namespace drydepth {

struct Sha256::State {
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context{EVP_MD_CTX_new(),
                                                                  &EVP_MD_CTX_free};
};

Sha256::Sha256() : state_(std::make_unique<State>()) {
  const int begun = EVP_DigestInit_ex(state_->context.get(), EVP_sha256(), nullptr);
  assert(begun == 1);  // fails without memory only
  (void)begun;
}

Sha256::Sha256(Sha256&&) noexcept = default;
Sha256::~Sha256() = default;

void Sha256::add(std::string_view bytes) {
  EVP_DigestUpdate(state_->context.get(), bytes.data(), bytes.size());
}

std::string Sha256::hex() {
  std::array<unsigned char, 32> digest{};
  EVP_DigestFinal_ex(state_->context.get(), digest.data(), nullptr);
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string out;
  for (const unsigned char byte : digest) {
    out += kDigits[byte >> 4];
    out += kDigits[byte & 15];
  }
  return out;
}

std::string sha256_hex(std::string_view bytes) {
  Sha256 digest;
  digest.add(bytes);
  return digest.hex();
}

}  // namespace drydepth
